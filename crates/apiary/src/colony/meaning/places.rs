//! Where a bar may be put: what keepers advise, which differs, and the places of this hive that each would mean.

use quantity::Source;
use reckon::sources;

use super::{Part, entries};

/// A comb counts as drawn from this share on (common practice, no source).
const DRAWN: f64 = 0.875;

/// One keeper's advice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advice {
    /// Between the brood and the honey.
    BetweenBroodAndHoney,
    /// One bar between two drawn combs.
    BetweenDrawn,
    /// Into the brood nest, in the swarm season.
    IntoTheNest,
    /// Last year's honey moved to the entrance end, so that the nest can grow backwards.
    HoneyToTheEntrance,
}

/// An advice with the places it would mean today.
#[derive(Clone, Debug)]
pub struct Advised {
    /// Which.
    pub advice: Advice,
    /// Places at which a bar would be put in (what stands there moves back); for honey to be moved, where it hangs now.
    pub places: Vec<u16>,
    /// Whether the season that the advice is for is now; `None` where it is for any.
    pub in_season: Option<bool>,
    /// Who says so.
    pub source: &'static Source,
    /// The looks that the places follow from.
    pub entries: Vec<usize>,
}

/// The advice, each with its places; none is chosen.
pub fn places(part: &Part<'_>) -> Vec<Advised> {
    let combs: Vec<Seen> = part.hanging().into_iter().map(|hung| seen(part, hung)).collect();
    let pairs = |fits: &dyn Fn(&Seen, &Seen) -> bool| -> (Vec<u16>, Vec<usize>) {
        let fitting = combs.windows(2).filter(|pair| fits(&pair[0], &pair[1]));
        let (mut places, mut from) = (Vec::new(), Vec::new());
        for pair in fitting {
            places.push(pair[1].place);
            from.extend(pair.iter().filter_map(|seen| seen.entry));
        }
        (places, entries(from))
    };
    let month = part.northern(part.today).month();
    let advised = |advice, (places, entries), in_season, source| Advised {
        advice,
        places,
        in_season,
        source,
        entries,
    };
    let old_honey: Vec<&Seen> = combs.iter().filter(|seen| seen.is_old_honey).collect();
    vec![
        advised(
            Advice::BetweenBroodAndHoney,
            pairs(&|one, other| one.brood && other.is_honey() || one.is_honey() && other.brood),
            None,
            &sources::HAPPYHOUR_2016,
        ),
        advised(
            Advice::BetweenDrawn,
            pairs(&|one, other| one.drawn && other.drawn),
            None,
            &sources::HAPPYHOUR_2016,
        ),
        advised(
            Advice::IntoTheNest,
            pairs(&|one, other| one.brood && other.brood),
            Some((4..=6).contains(&month)),
            &sources::BEESOURCE_SWARM_PREVENTION,
        ),
        advised(
            Advice::HoneyToTheEntrance,
            (
                old_honey.iter().map(|seen| seen.place).collect(),
                entries(old_honey.iter().filter_map(|seen| seen.entry)),
            ),
            Some((2..=4).contains(&month)),
            &sources::BEEMASTER_SPRING,
        ),
    ]
}

/// What a place holds, as far as it matters here.
struct Seen {
    place: u16,
    brood: bool,
    stores: bool,
    drawn: bool,
    /// Honey on a comb that is not of this year, with a bar or comb before it.
    is_old_honey: bool,
    entry: Option<usize>,
}

impl Seen {
    fn is_honey(&self) -> bool {
        self.stores && !self.brood
    }
}

fn seen(part: &Part<'_>, hung: super::Hanging<'_>) -> Seen {
    let look = hung.comb.and_then(|(_, comb)| part.last(comb));
    let brood = look.as_ref().is_some_and(|look| look.says.has_brood());
    let stores = look
        .as_ref()
        .and_then(|look| look.says.stores())
        .is_some_and(|share| share > 0.0);
    let comb = hung.comb.map(|(_, comb)| comb);
    let this_year = comb
        .and_then(|comb| comb.since)
        .is_some_and(|since| since.year() == part.today.year());
    Seen {
        place: hung.place,
        brood,
        stores,
        drawn: comb.is_some_and(|comb| comb.drawn.is_some_and(|drawn| drawn * comb.left >= DRAWN)),
        is_old_honey: stores && !brood && !this_year && hung.place > part.from,
        entry: look.map(|look| look.entry),
    }
}
