//! From shares that were said to shares with their doubt.

use quantity::Sourced;

use super::Seen;
use super::figures::{EYE_LEANING, EYE_OF_ONE_COMB, EYE_STEP, STAGE_DAYS, between};

/// A share of a comb's two faces, with the distances to its 90 % bounds that a hive's combs share, and those
/// of this comb alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Share {
    pub(super) value: f64,
    pub(super) shared_down: f64,
    pub(super) shared_up: f64,
    pub(super) own_down: f64,
    pub(super) own_up: f64,
    /// What the eye looked at to know it: the value, unless it is made from several.
    looked_at: f64,
}

impl Share {
    pub(super) const fn said(value: f64) -> Self {
        Self {
            value,
            shared_down: 0.0,
            shared_up: 0.0,
            own_down: 0.0,
            own_up: 0.0,
            looked_at: if value < 1.0 { value } else { 1.0 },
        }
    }

    /// With the leaning of the eye on all combs, and its slip on this one and the step of its scale.
    ///
    /// What is said of eyes is taken for half a comb. In proportion, a small patch is misjudged by more, and a
    /// full comb by less: it cannot be fuller.
    pub(super) fn seen_by_eye(self, widening: f64) -> Self {
        let misjudged = widening * 2.0 * self.looked_at * (1.0 - self.looked_at);
        let leaning = EYE_LEANING.value * misjudged;
        let slip = libm::hypot(EYE_OF_ONE_COMB.value * misjudged, widening * EYE_STEP.value);
        Self {
            shared_down: libm::hypot(self.shared_down, leaning),
            shared_up: libm::hypot(self.shared_up, leaning),
            own_down: libm::hypot(self.own_down, slip),
            own_up: libm::hypot(self.own_up, slip),
            ..self
        }
    }

    /// What is left of it when a part of the comb was cut away. The cut may have taken none of it, or as much
    /// as it took; nine tenths of the way to either are 90 % if all between is as likely.
    pub(super) fn left_after_cut(self, left: f64) -> Self {
        let value = self.value * left;
        let least = (self.value - (1.0 - left)).max(0.0);
        let most = self.value.min(left);
        Self {
            value,
            shared_down: self.shared_down * left,
            shared_up: self.shared_up * left,
            own_down: libm::hypot(self.own_down * left, 0.9 * (value - least)),
            own_up: libm::hypot(self.own_up * left, 0.9 * (most - value)),
            ..self
        }
    }
}

/// What was seen, without the shares that are no numbers from 0 to 1.
pub(super) fn sound(seen: &Seen) -> Seen {
    let sound = |given: Option<f64>| given.filter(|share| (0.0..=1.0).contains(share));
    Seen {
        drawn: sound(seen.drawn),
        bees: sound(seen.bees),
        sealed: sound(seen.sealed),
        open: sound(seen.open),
        eggs: sound(seen.eggs),
        brood: sound(seen.brood),
        drones: sound(seen.drones),
        capped: sound(seen.capped),
        honey: sound(seen.honey),
        nectar: sound(seen.nectar),
        pollen: sound(seen.pollen),
    }
}

/// The stages of worker brood, and all of them.
pub(super) struct Stages {
    pub(super) eggs: Option<Share>,
    pub(super) open: Option<Share>,
    pub(super) sealed: Option<Share>,
    pub(super) all: Option<Share>,
}

pub(super) fn stages(seen: &Seen) -> Stages {
    let said = [seen.eggs, seen.open, seen.sealed];
    let known: f64 = said.iter().flatten().sum();
    let missing = said.iter().filter(|stage| stage.is_none()).count();
    let stage = |given: Option<f64>| match (given, seen.brood) {
        (Some(share), _) => Some(Share::said(share)),
        // No brood at all is none of any stage.
        (None, Some(brood)) if brood <= 0.0 => Some(Share::said(0.0)),
        (None, Some(brood)) if missing == 1 => Some(Share {
            looked_at: (brood + known).min(1.0),
            ..Share::said((brood - known).max(0.0))
        }),
        (None, _) => None,
    };
    let all = match seen.brood {
        Some(brood) => Some(Share::said(brood.max(known))),
        None if missing == 0 => Some(Share::said(known)),
        None => from_some_stages(said, free_for_brood(seen, known)),
    };
    Stages {
        eggs: stage(said[0]),
        open: stage(said[1]),
        sealed: stage(said[2]),
        all,
    }
}

/// What is drawn and holds nothing else that was said: no more brood than that can be there unsaid.
fn free_for_brood(seen: &Seen, known: f64) -> f64 {
    let honey = seen.capped.unwrap_or(0.0) + seen.honey.unwrap_or(0.0);
    let others = [seen.drones, seen.nectar, seen.pollen];
    let taken = known + honey + others.into_iter().flatten().sum::<f64>();
    (seen.drawn.unwrap_or(1.0) - taken).max(0.0)
}

/// All brood, where some stages were not said: those that were stand for the others by the days each lasts. The
/// others may be none, or twice as many, as far as the comb has room for them.
///
/// Stages of less than twelve days say too little of the others: they count as they are, and the others from none.
/// Brood of no stage that was said tells nothing.
fn from_some_stages(said: [Option<f64>; 3], free: f64) -> Option<Share> {
    let (known, days) = said
        .iter()
        .zip(&STAGE_DAYS)
        .filter_map(|(share, days)| Some(((*share)?, days.value)))
        .fold((0.0, 0.0), |(known, days), (share, of_stage)| {
            (known + share, days + of_stage)
        });
    let of_all: f64 = STAGE_DAYS.iter().map(|days| days.value).sum();
    if known <= 0.0 {
        return None;
    }
    let by_days = known * (of_all - days) / days;
    let others = if days < STAGE_DAYS[2].value {
        0.0
    } else {
        by_days.min(free)
    };
    Some(Share {
        shared_down: others,
        shared_up: (2.0 * by_days).min(free) - others,
        looked_at: known.min(1.0),
        ..Share::said(known + others)
    })
}

/// The share of a comb that holds honey, as if it were full and capped; `None` where no honey was said.
pub(super) fn honey(seen: &Seen, open_honey: &Sourced<f64>, nectar_as_honey: &Sourced<f64>) -> Option<Share> {
    let (capped, open) = match (seen.capped, seen.honey) {
        (None, None) => return None,
        // Honey that was not divided.
        (None, Some(honey)) => (honey, 0.0),
        (Some(capped), open) => (capped, open.unwrap_or(0.0)),
    };
    // More than a whole comb: the honey was not divided, and what is capped is a part of it.
    let (capped, open) = if capped + open > 1.0 {
        (capped, (open - capped).max(0.0))
    } else {
        (capped, open)
    };
    let nectar = seen.nectar.unwrap_or(0.0);
    let value = capped + open * open_honey.value + nectar * nectar_as_honey.value;
    let (open_least, open_most) = between(open_honey);
    let (nectar_least, nectar_most) = between(nectar_as_honey);
    Some(Share {
        shared_down: open * (open_honey.value - open_least) + nectar * (nectar_as_honey.value - nectar_least),
        shared_up: open * (open_most - open_honey.value) + nectar * (nectar_most - nectar_as_honey.value),
        looked_at: (capped + open + nectar).min(1.0),
        ..Share::said(value)
    })
}
