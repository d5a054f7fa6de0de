use std::path::Path;
use store::{MemoryStore, Options, SqliteStore, conformance};
use torn_vfs::Disk;

#[test]
fn memory_does_what_every_store_must() {
    conformance::check_store(MemoryStore::new);
}

#[test]
fn sqlite_does_what_every_store_must() {
    let folder = tempfile::tempdir().unwrap();
    let count = std::cell::Cell::new(0);
    conformance::check_store(|| {
        count.set(count.get() + 1);
        SqliteStore::create(&folder.path().join(format!("{}.books", count.get()))).unwrap()
    });
}

/// The disk that the tests of power cuts stand on must itself be a good disk.
#[test]
fn sqlite_on_the_disk_of_the_tests_does_so_too() {
    let disk = Disk::new(1);
    let count = std::cell::Cell::new(0);
    conformance::check_store(|| {
        count.set(count.get() + 1);
        let options = Options {
            vfs: Some(disk.name().to_owned()),
            ..Options::default()
        };
        SqliteStore::create_with(Path::new(&count.get().to_string()), &options).unwrap()
    });
}
