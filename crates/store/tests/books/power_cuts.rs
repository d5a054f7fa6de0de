use crate::power::{cut, seed};
use store::Synchronous;
use torn_vfs::Disk;

/// The first seed; the n-th run has `seed(BASE, n)`.
const BASE: u64 = 20_260_719;
const RUNS: u64 = 300;

#[test]
fn what_was_answered_survives_a_power_cut() {
    let disk = Disk::new(BASE);
    for run in 0..RUNS {
        let seed = seed(BASE, run);
        assert_eq!(
            cut(&disk, seed, Synchronous::Full),
            Ok(()),
            "run {run}, seed {seed}"
        );
    }
}

/// The test of the test: without synchronisation the same runs must lose notes.
#[test]
fn without_synchronisation_the_same_cuts_lose_notes() {
    let disk = Disk::new(BASE);
    let lost = (0..RUNS)
        .filter(|&run| cut(&disk, seed(BASE, run), Synchronous::Off).is_err())
        .count();
    assert!(lost > 100, "only {lost} of {RUNS} cuts lost something");
}
