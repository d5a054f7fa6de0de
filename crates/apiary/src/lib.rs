//! The meaning of the books.
pub mod arena;
pub mod colony;
mod complaint;
pub mod goods;
pub mod ground;
mod health;
mod history;
mod holding;
pub mod honey;
mod late;
pub mod money;
mod names;
pub mod note;
mod place;
mod proof;
mod sameday;
mod told;
pub mod trade;
pub mod wax;

pub use complaint::{Complaint, Misgiving, Weight};
pub use holding::Holding;
pub use told::Told;

use note::{Topic, Verb};

/// The verbs of every topic, as their `facts.rs` declare them.
pub(crate) fn verbs() -> impl Iterator<Item = (Topic, &'static [Verb])> {
    [
        (Topic::Ground, ground::facts::VERBS),
        (Topic::Colony, colony::facts::VERBS),
        (Topic::Health, health::facts::VERBS),
        (Topic::Honey, honey::facts::VERBS),
        (Topic::Wax, wax::facts::VERBS),
        (Topic::Goods, goods::facts::VERBS),
        (Topic::Trade, trade::facts::VERBS),
        (Topic::Money, money::facts::VERBS),
        (Topic::Place, place::facts::VERBS),
        (Topic::Proof, proof::facts::VERBS),
    ]
    .into_iter()
}
