//! The disk that fails on purpose, tried with plain SQLite.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop where it stands, in its helpers too"
)]

use rusqlite::{Connection, OpenFlags};
use std::time::Duration;
use torn_vfs::{Disk, Fault};

fn open(disk: &Disk) -> Connection {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
    let connection = Connection::open_with_flags_and_vfs("hens", flags, disk.name()).unwrap();
    connection.busy_timeout(Duration::ZERO).unwrap();
    connection
        .execute_batch("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL")
        .unwrap();
    connection
}

fn count(connection: &Connection) -> i64 {
    connection
        .query_row("SELECT count(*) FROM hen", [], |row| row.get(0))
        .unwrap()
}

#[test]
fn two_connections_share_a_file() {
    let disk = Disk::new(1);
    let (one, other) = (open(&disk), open(&disk));
    one.execute_batch("CREATE TABLE hen (name TEXT); BEGIN IMMEDIATE; INSERT INTO hen VALUES ('Ada')")
        .unwrap();
    assert_eq!(count(&other), 0, "nothing is seen before it is committed");
    assert!(
        other.execute("INSERT INTO hen VALUES ('Bo')", []).is_err(),
        "only one writes at a time"
    );
    one.execute_batch("COMMIT").unwrap();
    other.execute("INSERT INTO hen VALUES ('Bo')", []).unwrap();
    assert_eq!((count(&one), count(&other)), (2, 2));
}

#[test]
fn what_was_committed_survives_and_what_was_open_is_useless() {
    let disk = Disk::new(1);
    let connection = open(&disk);
    connection
        .execute_batch("CREATE TABLE hen (name TEXT); INSERT INTO hen VALUES ('Ada')")
        .unwrap();
    disk.set_fault(Fault::PowerCut(1));
    assert!(connection.execute("INSERT INTO hen VALUES ('Bo')", []).is_err());
    assert!(disk.is_dead());
    drop(connection);
    disk.power_on();
    assert!(count(&open(&disk)) >= 1);
}

#[test]
fn the_same_seed_leaves_the_same_ruins() {
    let ruins = |seed| {
        let disk = Disk::new(seed);
        let connection = open(&disk);
        connection
            .execute_batch("CREATE TABLE hen (name TEXT); PRAGMA synchronous = OFF")
            .unwrap();
        for name in 0..40 {
            connection
                .execute("INSERT INTO hen VALUES (?1)", [name.to_string()])
                .unwrap();
        }
        disk.cut_power();
        drop(connection);
        disk.power_on();
        disk.names()
            .iter()
            .map(|name| (name.clone(), disk.read(name)))
            .collect::<Vec<_>>()
    };
    let all: Vec<_> = (0..12).map(ruins).collect();
    assert!(all == (0..12).map(ruins).collect::<Vec<_>>());
    assert!(
        all.iter().any(|one| *one != all[0]),
        "and another seed leaves others"
    );
}

#[test]
fn a_full_disk_says_so() {
    let disk = Disk::new(1);
    let connection = open(&disk);
    connection.execute_batch("CREATE TABLE hen (name TEXT)").unwrap();
    disk.set_fault(Fault::FullFrom(1));
    let error = connection
        .execute("INSERT INTO hen VALUES ('Ada')", [])
        .unwrap_err();
    assert_eq!(error.sqlite_error_code(), Some(rusqlite::ErrorCode::DiskFull));
    assert!(disk.has_struck());
    disk.repair();
    connection.execute("INSERT INTO hen VALUES ('Ada')", []).unwrap();
    assert_eq!(count(&connection), 1);
}
