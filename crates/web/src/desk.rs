//! The desk that all pages are served from: the open books, the clock, and what is remembered for a while.
//!
//! Holds true: whoever only looks waits for nobody who looks; before each answer it is asked whether another
//! program has written; what memory says of the books after a fault is not believed, they are read again.

use std::collections::VecDeque;
use std::panic::{self, AssertUnwindSafe};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock, RwLockWriteGuard};

use app::pairing::Code;
use app::{Office, Surroundings};
use jiff::civil::{Date, DateTime};
use ledger::Fault;
use page::Notice;
use tokio::sync::Semaphore;

use crate::lan::Lan;

/// How a desk is set up.
#[derive(Clone, Debug, Default)]
pub struct Setup {
    /// The port that the pages are served on; they answer to no other.
    pub port: u16,
    /// What the books are called where the notes name no farm.
    pub name: String,
}

/// The desk that all pages are served from.
pub struct Desk {
    office: RwLock<Office>,
    /// Who writes where nobody is named.
    by: String,
    /// A fault came between memory and the disk.
    in_doubt: AtomicBool,
    surroundings: Mutex<Box<dyn Surroundings + Send>>,
    pub(crate) setup: Setup,
    /// Answers are worked out in the order in which they were asked for, as many at once as there are cores:
    /// with more at once some would wait for all the others, again and again.
    pub(crate) turns: Semaphore,
    /// Large things are taken in a few at a time, since they lie in memory until they are kept.
    pub(crate) loads: Arc<Semaphore>,
    /// What tokens are made with; as old as the program's run.
    pub(crate) key: [u8; 32],
    /// What was written, by the id of the form that wrote it, for the page that is shown next.
    pub(crate) written: Recent<Vec<Notice>>,
    /// Sheets that are being brought in, by the digest of their bytes.
    pub(crate) sheets: Recent<Upload>,
    /// Rows that were refused, as sheets of their own.
    pub(crate) refusals: Recent<String>,
    /// What is served beyond this machine, if anything.
    pub(crate) lan: Option<Lan>,
    /// Codes that were made, by the id of the page that shows them.
    pub(crate) codes: Recent<Code>,
    /// Secret addresses of the calendar that were made, by the id of the page that shows them.
    pub(crate) feeds: Recent<String>,
}

/// A file that was sent to be brought in.
#[derive(Debug)]
pub(crate) struct Upload {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// Why there is no answer.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The world failed.
    Fault(Fault),
    /// A mistake of ours: something stopped halfway.
    Broken,
}

impl From<Fault> for Trouble {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

/// How many pages may still say what was written.
const MOST_WRITTEN: usize = 64;

/// How many photographs, remarks and sheets are taken in at once.
const MOST_LOADS: usize = 8;

/// How many sheets are kept while they are brought in.
const MOST_SHEETS: usize = 8;

impl Desk {
    /// A desk with these books on it.
    pub fn new(office: Office, mut surroundings: Box<dyn Surroundings + Send>, setup: Setup) -> Self {
        Self {
            by: office.writes_as().to_owned(),
            office: RwLock::new(office),
            in_doubt: AtomicBool::new(false),
            key: surroundings.random(),
            surroundings: Mutex::new(surroundings),
            setup,
            loads: Arc::new(Semaphore::new(MOST_LOADS)),
            turns: Semaphore::new(std::thread::available_parallelism().map_or(2, usize::from)),
            written: Recent::new(MOST_WRITTEN),
            sheets: Recent::new(MOST_SHEETS),
            refusals: Recent::new(MOST_SHEETS),
            lan: None,
            codes: Recent::new(1),
            feeds: Recent::new(1),
        }
    }

    /// The same desk, served beyond this machine as well.
    #[must_use]
    pub fn beyond(mut self, lan: Lan) -> Self {
        self.lan = Some(lan);
        self
    }

    /// Answers from the books as the disk has them.
    pub(crate) fn read<T>(&self, answer: impl FnOnce(&Office) -> T) -> Result<T, Trouble> {
        let office = self.office.read().map_err(|_| Trouble::Broken)?;
        if !self.is_old(&office)? {
            return Ok(answer(&office));
        }
        drop(office);
        let mut office = self.office.write().map_err(|_| Trouble::Broken)?;
        self.whole(&mut office, |office| self.renew(office))?;
        Ok(answer(&RwLockWriteGuard::downgrade(office)))
    }

    /// Changes the books.
    pub(crate) fn change<T>(
        &self,
        change: impl FnOnce(&mut Office, &mut dyn Surroundings) -> Result<T, Fault>,
    ) -> Result<T, Trouble> {
        let mut office = self.office.write().map_err(|_| Trouble::Broken)?;
        self.whole(&mut office, |office| {
            self.renew(office)?;
            change(office, &mut **self.surroundings())
        })
    }

    /// Works on the books to the end, or else has them read again before the next answer. One phone that comes upon
    /// a mistake of ours must not end the work of all the others.
    fn whole<T>(
        &self,
        office: &mut Office,
        work: impl FnOnce(&mut Office) -> Result<T, Fault>,
    ) -> Result<T, Trouble> {
        // The message of the mistake is in the program's window already.
        let done = panic::catch_unwind(AssertUnwindSafe(|| work(office)));
        if !matches!(done, Ok(Ok(_))) {
            self.in_doubt.store(true, Ordering::Release);
            office.write_as(&self.by);
        }
        Ok(done.map_err(|_| Trouble::Broken)??)
    }

    /// Changes the books in the name of whoever is given; without one, of whoever sits at this machine.
    pub(crate) fn change_by<T>(
        &self,
        by: Option<&str>,
        change: impl FnOnce(&mut Office, &mut dyn Surroundings) -> Result<T, Fault>,
    ) -> Result<T, Trouble> {
        let Some(by) = by else {
            return self.change(change);
        };
        self.change(|office, surroundings| {
            let usual = office.writes_as().to_owned();
            office.write_as(by);
            let done = change(office, surroundings);
            office.write_as(&usual);
            done
        })
    }

    fn is_old(&self, office: &Office) -> Result<bool, Fault> {
        Ok(self.in_doubt.load(Ordering::Acquire) || office.is_stale()?)
    }

    fn renew(&self, office: &mut Office) -> Result<(), Fault> {
        if self.is_old(office)? {
            office.reload()?;
            self.in_doubt.store(false, Ordering::Release);
        }
        Ok(())
    }

    fn surroundings(&self) -> MutexGuard<'_, Box<dyn Surroundings + Send>> {
        self.surroundings.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn today(&self) -> Date {
        self.surroundings().today()
    }

    /// Milliseconds since 1970.
    pub(crate) fn now_ms(&self) -> i64 {
        self.surroundings().now_ms()
    }

    pub(crate) fn now(&self) -> DateTime {
        self.surroundings().now()
    }

    pub(crate) fn random(&self) -> [u8; 32] {
        self.surroundings().random()
    }

    /// An id that no form had before.
    pub(crate) fn fresh(&self) -> String {
        self.surroundings().stamp().id.to_string()
    }
}

/// The last few things that were put down, by name; the oldest make room.
pub(crate) struct Recent<T> {
    most: usize,
    kept: Mutex<VecDeque<(String, Arc<T>)>>,
}

impl<T> Recent<T> {
    fn new(most: usize) -> Self {
        Self {
            most,
            kept: Mutex::default(),
        }
    }

    fn kept(&self) -> MutexGuard<'_, VecDeque<(String, Arc<T>)>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn put(&self, name: String, thing: T) {
        let mut kept = self.kept();
        kept.retain(|(of, _)| *of != name);
        while kept.len() >= self.most {
            kept.pop_front();
        }
        kept.push_back((name, Arc::new(thing)));
    }

    pub(crate) fn get(&self, name: &str) -> Option<Arc<T>> {
        let kept = self.kept();
        kept.iter()
            .find(|(of, _)| of == name)
            .map(|(_, thing)| Arc::clone(thing))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn desk() -> Desk {
        let mut surroundings = app::Fixed::new(jiff::civil::date(2026, 11, 25).at(9, 0, 0, 0), 1);
        let office = Office::open(Box::new(store::MemoryStore::new()), None, &mut surroundings);
        Desk::new(office.expect("books"), Box::new(surroundings), Setup::default())
    }

    #[test]
    fn after_a_fault_the_books_are_read_again() {
        let desk = desk();
        let failed = desk.change(|_, _| Err::<(), _>(Fault::DiskFull("no room".into())));
        assert!(matches!(failed, Err(Trouble::Fault(Fault::DiskFull(_)))));
        assert!(desk.in_doubt.load(Ordering::Acquire));
        desk.read(|_| ()).expect("they can be read");
        assert!(!desk.in_doubt.load(Ordering::Acquire));
    }

    #[test]
    fn what_stops_halfway_gives_no_answer_and_leaves_the_books_to_the_others() {
        let desk = desk();
        let halfway = desk.change_by(Some("p-66"), |office, surroundings| -> Result<(), Fault> {
            office.write(
                &["2026-03-01 yard orchard"],
                &app::Writing::default(),
                surroundings,
            )?;
            panic!("BUG: a test")
        });
        assert!(matches!(halfway, Err(Trouble::Broken)));
        assert!(desk.in_doubt.load(Ordering::Acquire));
        let by = desk.read(|office| office.writes_as().to_owned());
        assert_eq!(
            by.expect("the books are read again"),
            "",
            "nobody writes in their name"
        );
        let written = desk.change(|office, surroundings| {
            office.write(
                &["2026-03-02 flow begins"],
                &app::Writing::default(),
                surroundings,
            )
        });
        assert_eq!(written.expect("others go on").written.len(), 1);
        assert_eq!(desk.fresh().len(), 36);
    }

    #[test]
    fn the_oldest_makes_room() {
        let recent = Recent::new(2);
        for (name, thing) in [("a", 1), ("b", 2), ("a", 3), ("c", 4)] {
            recent.put(name.to_owned(), thing);
        }
        let get = |name| recent.get(name).map(|thing| *thing);
        assert_eq!((get("a"), get("b"), get("c")), (Some(3), None, Some(4)));
    }
}
