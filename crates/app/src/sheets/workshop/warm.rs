//! What a hive of a pattern loses, worked out once for each way of building.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock, Mutex};

use apiary::ground::design;
use apiary::ground::pattern::Pattern;
use reckon::heat::Loss;

/// A loss, or why there is none.
type Told = Result<Arc<Loss>, String>;

/// So many ways of building are remembered; then all are forgotten.
const MOST: usize = 64;

/// A solve takes a fifth of a second and follows from the pattern alone, so that it is remembered.
static REMEMBERED: LazyLock<Mutex<BTreeMap<String, Told>>> = LazyLock::new(Mutex::default);

/// What a hive of a pattern loses, or what is lacking.
pub(crate) fn loss(pattern: &Pattern) -> Told {
    let built = design::warmth(pattern)?;
    let key = format!("{built:?}");
    let remembered = || {
        REMEMBERED
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    };
    if let Some(told) = remembered().get(&key) {
        return told.clone();
    }
    let told = built.loss().map(Arc::new).map_err(|error| error.to_string());
    let mut all = remembered();
    if all.len() >= MOST {
        all.clear();
    }
    all.insert(key, told.clone());
    told
}
