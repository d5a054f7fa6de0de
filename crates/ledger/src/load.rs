//! From a store to the books, on two threads.
//!
//! Verifying takes about as long as reading the file. So one thread reads, and hands the rows on in
//! batches to another, which verifies and files them; whenever that one has enough to do, the reading
//! thread verifies a batch before it hands it on. Batches are handed on in order, so the books come
//! out the same as on one thread.

use crate::{Books, Broken, Entry, FarmId, Fault, Row, Store};
use std::sync::mpsc::{SyncSender, TrySendError, sync_channel};

/// Rows in a batch: a fraction of a millisecond's work, and small enough to stay in the cache.
const BATCH: usize = 256;
/// Batches that may wait for the second thread.
const WAITING: usize = 8;

enum Batch {
    Rows(Vec<Row>),
    Verified(Vec<Verified>),
}

type Verified = Result<Entry, (Broken, Box<Row>)>;

/// Loads and verifies a farm's books. What cannot be read is kept beside them: see
/// [`Books::unread`].
///
/// # Errors
/// When the store cannot hand out the entries.
pub fn load(store: &dyn Store, farm: FarmId) -> Result<Books, Fault> {
    let (send, receive) = sync_channel(WAITING);
    std::thread::scope(|scope| {
        let filing = scope.spawn(|| {
            let mut books = Books::new();
            receive.into_iter().for_each(|batch| file(&mut books, batch));
            books
        });
        let mut reading = Reading {
            send,
            rows: Vec::with_capacity(BATCH),
        };
        let loaded = store.load(farm, &mut |row| reading.take(row));
        reading.finish();
        let books = filing.join().expect("BUG: filing never panics");
        loaded.map(|()| books)
    })
}

/// What the reading thread has in hand.
struct Reading {
    send: SyncSender<Batch>,
    rows: Vec<Row>,
}

impl Reading {
    fn take(&mut self, row: Row) {
        self.rows.push(row);
        if self.rows.len() == BATCH {
            self.hand_on();
        }
    }

    fn hand_on(&mut self) {
        let rows = std::mem::replace(&mut self.rows, Vec::with_capacity(BATCH));
        if let Err(TrySendError::Full(Batch::Rows(rows))) = self.send.try_send(Batch::Rows(rows)) {
            let verified = rows.into_iter().map(Entry::from_row).collect();
            self.send
                .send(Batch::Verified(verified))
                .expect("BUG: filing goes on until the last batch");
        }
    }

    /// Hands on the rest and lets the other thread come to its end.
    fn finish(mut self) {
        self.hand_on();
    }
}

fn file(books: &mut Books, batch: Batch) {
    match batch {
        Batch::Rows(rows) => rows.into_iter().for_each(|row| keep(books, Entry::from_row(row))),
        Batch::Verified(entries) => entries.into_iter().for_each(|entry| keep(books, entry)),
    }
}

fn keep(books: &mut Books, entry: Verified) {
    match entry {
        Ok(entry) => drop(books.add(entry)),
        Err((broken, row)) => books.keep_unread(broken, *row),
    }
}
