//! The meaning of the books.
pub mod note;
mod colony; mod goods; mod ground; mod health; mod honey; mod money; mod place; mod proof; mod trade; mod wax;

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
