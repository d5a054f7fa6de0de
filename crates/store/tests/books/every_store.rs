use store::{MemoryStore, SqliteStore, conformance};

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
