//! A cutting list: the parts of some hives, sawn from the wood at hand and from boards that can be bought.
//!
//! Holds true: a part comes from a board as thick as it is, or a little thicker; wood that is sawn for thick parts is
//! not there for thin ones; a part that is wider than every board is made of strips.
//!
//! Does not: look at a clock; choose what to buy against the keeper's will: where nothing may be bought, what is
//! lacking is said.
//!
//! Start at [`cutting`].

use quantity::{Currency, Length, Money};
use reckon::carpentry::Role;
use reckon::cut::{self, CutError, Job, Order, Plan, Progress};
use reckon::wall;

use super::design::Parts;
use super::pattern::{Pattern, Sheet};
use super::workshop::{Size, Workshop};

/// How it is to be sawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saw {
    /// How many hives.
    pub hives: u32,
    /// What the saw takes.
    pub kerf: Length,
    /// What is trimmed off all four sides of every board.
    pub edge: Length,
    /// Which cuts come first.
    pub order: Order,
    /// Whether boards may be bought.
    pub buy: bool,
}

/// Where a board comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// It is bought: an offer, by its place in the list.
    Offer(usize),
    /// It is kept: wood on hand, by its place in the list.
    Wood(usize),
}

/// What of a part is sawn from boards of one thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The part, by its place in the list of parts.
    pub part: usize,
    /// Into how many strips it is parted; 1 where it is whole.
    pub strips: u32,
    /// Along the grain.
    pub length: Length,
    /// Across the grain, of a strip.
    pub width: Length,
    /// From face to face.
    pub thickness: Length,
    /// How many strips or whole parts.
    pub count: u32,
}

/// Parts sawn from boards of one thickness.
#[derive(Clone, Debug)]
pub struct Group {
    /// How thick the parts are.
    pub thickness: Length,
    /// The parts, as the plan counts them.
    pub wanted: Vec<Wanted>,
    /// The boards, as the plan counts them.
    pub from: Vec<From>,
    /// What was asked.
    pub job: Job,
    /// What was found, or why nothing was.
    pub plan: Result<Plan, CutError>,
}

/// A cutting list.
#[derive(Clone, Debug)]
pub struct Cutting {
    /// By thickness, the thickest first.
    pub groups: Vec<Group>,
    /// Parts that are not sawn from boards, by their places in the list of parts, and what they are of.
    pub not_of_boards: Vec<(usize, String)>,
    /// Of what thickness parts there is no board at all.
    pub no_board: Vec<Wanted>,
    /// The currency of all prices.
    pub currency: Option<Currency>,
    /// Offers in another currency, which are left out, by their places.
    pub other_currency: Vec<usize>,
}

impl Cutting {
    /// What the boards cost that are bought; unknown without a price, or where a group has no plan.
    pub fn cost(&self) -> Option<Money> {
        let minor = self
            .groups
            .iter()
            .map(|group| group.plan.as_ref().ok().map(|plan| plan.cost));
        let minor = minor.sum::<Option<u64>>()?;
        Some(Money::new(i64::try_from(minor).ok()?, self.currency?))
    }

    /// Whether every board that is bought has a price.
    pub fn is_priced(&self, workshop: &Workshop) -> bool {
        self.bought()
            .iter()
            .all(|(offer, _)| workshop.offers[*offer].price.is_some())
    }

    /// Whether everything that is sawn from boards can be sawn.
    pub fn is_whole(&self) -> bool {
        self.no_board.is_empty() && self.groups.iter().all(|group| group.plan.is_ok())
    }

    /// How many boards of each offer are bought, by the places of the offers.
    pub fn bought(&self) -> Vec<(usize, u32)> {
        self.used()
            .filter_map(|(from, count)| match from {
                From::Offer(offer) => Some((offer, count)),
                From::Wood(_) => None,
            })
            .collect()
    }

    /// How many pieces of each wood on hand are sawn up, by their places.
    pub fn sawn(&self) -> Vec<(usize, u32)> {
        self.used()
            .filter_map(|(from, count)| match from {
                From::Wood(wood) => Some((wood, count)),
                From::Offer(_) => None,
            })
            .collect()
    }

    fn used(&self) -> impl Iterator<Item = (From, u32)> {
        let mut used: Vec<(From, u32)> = Vec::new();
        for group in &self.groups {
            for board in group.plan.iter().flat_map(|plan| &plan.boards) {
                let from = group.from[board.board];
                match used.iter_mut().find(|(other, _)| *other == from) {
                    Some((_, count)) => *count += 1,
                    None => used.push((from, 1)),
                }
            }
        }
        used.into_iter()
    }
}

/// How far the search for a list is.
#[derive(Clone, Copy, Debug)]
pub struct Step<'a> {
    /// Which thickness it is at, from 0.
    pub group: usize,
    /// Of how many.
    pub of: usize,
    /// How far it is there.
    pub progress: &'a Progress,
}

/// A board may be so much thicker than a part.
const THICKER: Length = Length::mm(3);

/// A board may be so much thinner than a part that is told in round figures.
const THINNER: Length = Length::inch_64ths(1);

/// The best cutting list that is found for some hives of a pattern.
///
/// `keep_on` is asked as [`cut::cut`] asks it; when it says no, the best so far is taken for the thickness at hand.
pub fn cutting(
    (workshop, pattern, parts): (&Workshop, &Pattern, &Parts),
    saw: &Saw,
    keep_on: &mut dyn FnMut(Step<'_>) -> bool,
) -> Cutting {
    let (wanted, not_of_boards) = wanted(pattern, parts, saw.hives);
    let currency = workshop
        .offers
        .iter()
        .find_map(|offer| Some(offer.price?.currency()));
    let is_other = |offer: usize| {
        let price = workshop.offers[offer].price;
        price.is_some_and(|price| Some(price.currency()) != currency)
    };
    let other_currency: Vec<usize> = (0..workshop.offers.len())
        .filter(|offer| is_other(*offer))
        .collect();
    let mut shelf = Shelf::new(workshop, saw, &other_currency);
    let mut cutting = Cutting {
        groups: Vec::new(),
        not_of_boards,
        no_board: Vec::new(),
        currency,
        other_currency,
    };
    let mut thicknesses: Vec<Length> = wanted.iter().map(|wanted| wanted.thickness).collect();
    thicknesses.sort_unstable();
    thicknesses.dedup();
    let of = thicknesses.len();
    for (group, thickness) in thicknesses.into_iter().rev().enumerate() {
        let mut keep_on = |progress: &Progress| keep_on(Step { group, of, progress });
        let of_it: Vec<Wanted> = wanted
            .iter()
            .filter(|wanted| wanted.thickness == thickness)
            .cloned()
            .collect();
        match shelf.group(thickness, &of_it, saw, &mut keep_on) {
            Some(group) => {
                shelf.take(&group);
                cutting.groups.push(group);
            }
            None => cutting.no_board.extend(of_it),
        }
    }
    cutting
}

/// What is sawn from boards, whole parts first; and the parts that are not.
fn wanted(pattern: &Pattern, parts: &Parts, hives: u32) -> (Vec<Wanted>, Vec<(usize, String)>) {
    let built = &pattern.built;
    let or_walls = |sheets: &'_ [Sheet]| -> Vec<Sheet> {
        if sheets.is_empty() {
            built.walls.clone()
        } else {
            sheets.to_vec()
        }
    };
    let (mut wanted, mut others) = (Vec::new(), Vec::new());
    for (index, part) in parts.parts.iter().enumerate() {
        let sheets = match part.role {
            Role::Wall { .. } => built.walls.clone(),
            Role::Floor { .. } => or_walls(&built.base),
            Role::End => or_walls(&built.ends),
            Role::Roof => or_walls(built.cover.get(1..).unwrap_or_default()),
            Role::Sheet => {
                others.push((index, "bent from a sheet, or the drum itself".to_owned()));
                continue;
            }
            Role::Follower | Role::Bar | Role::Spacer | Role::Leg | Role::Cradle => Vec::new(),
        };
        let mut thicknesses: Vec<Length> = Vec::new();
        if sheets.is_empty() {
            thicknesses.push(part.thickness);
        }
        for sheet in &sheets {
            if wall::is_board(&sheet.written) {
                thicknesses.push(sheet.layer.thickness());
            } else {
                others.push((index, sheet.written.clone()));
            }
        }
        wanted.extend(thicknesses.into_iter().map(|thickness| Wanted {
            part: index,
            strips: 1,
            length: part.blank_length,
            width: part.blank_width,
            thickness,
            count: part.count.saturating_mul(hives),
        }));
    }
    (wanted, others)
}

/// What boards there are while groups are planned one after the other.
struct Shelf {
    boards: Vec<Kept>,
}

#[derive(Clone)]
struct Kept {
    from: From,
    name: String,
    size: Size,
    price: Option<u64>,
    count: Option<u32>,
    bad: Vec<(Length, Length)>,
}

impl Shelf {
    fn new(workshop: &Workshop, saw: &Saw, left_out: &[usize]) -> Self {
        let wood = workshop.wood.iter().enumerate().map(|(place, wood)| Kept {
            from: From::Wood(place),
            name: wood.wood.clone(),
            size: wood.size,
            price: None,
            count: Some(wood.count),
            bad: wood.bad.clone(),
        });
        let offers = workshop.offers.iter().enumerate();
        let offers = offers.filter(|(place, _)| saw.buy && !left_out.contains(place));
        let offers = offers.map(|(place, offer)| Kept {
            from: From::Offer(place),
            name: offer.wood.clone(),
            size: offer.size,
            price: offer.price.and_then(|price| u64::try_from(price.minor()).ok()),
            count: offer.count,
            bad: Vec::new(),
        });
        Self {
            boards: wood.chain(offers).collect(),
        }
    }

    /// The boards that parts of a thickness may come from.
    fn of(&self, thickness: Length) -> Vec<&Kept> {
        let fits = |kept: &&Kept| {
            let board = kept.size.thickness;
            kept.count != Some(0) && board + THINNER >= thickness && board <= thickness + THICKER
        };
        self.boards.iter().filter(fits).collect()
    }

    /// The plan for parts of one thickness. Parts are left whole where there are boards enough that are as wide; those
    /// that the wide boards do not suffice for are parted into strips, narrower and narrower; and where narrow boards
    /// at will make a cheaper list, all parts are. Nothing where no board is of that thickness.
    fn group(
        &self,
        thickness: Length,
        wanted: &[Wanted],
        saw: &Saw,
        keep_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> Option<Group> {
        let boards = self.of(thickness);
        let usable = |kept: &&Kept| kept.size.width - saw.edge - saw.edge;
        let mut widths: Vec<Length> = boards.iter().map(usable).collect();
        widths.sort_unstable();
        widths.dedup();
        widths.reverse();
        let widest = *widths.first()?;
        let at_will = boards
            .iter()
            .filter(|kept| kept.count.is_none())
            .map(usable)
            .max();
        let mut best = self.stepping_down(thickness, wanted, (saw, &widths), keep_on);
        if let Some(width) = at_will.filter(|width| *width < widest) {
            let strips: Vec<Wanted> = wanted.iter().map(|one| in_strips(one, width)).collect();
            let group = self.planned(thickness, strips, saw, keep_on);
            let cost = |group: &Group| {
                group
                    .plan
                    .as_ref()
                    .ok()
                    .map(|plan| (plan.cost, plan.waste_fraction))
            };
            let is_better = match (cost(&best), cost(&group)) {
                (None, _) => true,
                (Some(_), None) => false,
                (Some(before), Some(now)) => now < before,
            };
            if is_better {
                best = group;
            }
        }
        Some(best)
    }

    /// Parts for which boards do not suffice are parted into strips as wide as the next narrower boards, until there
    /// is a plan or nothing narrower.
    fn stepping_down(
        &self,
        thickness: Length,
        wanted: &[Wanted],
        (saw, widths): (&Saw, &[Length]),
        keep_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> Group {
        let mut rungs = vec![0; wanted.len()];
        loop {
            let strips = wanted
                .iter()
                .zip(&rungs)
                .map(|(one, rung)| in_strips(one, widths[*rung]));
            let group = self.planned(thickness, strips.collect(), saw, keep_on);
            let Err(CutError::TooFewBoards { lacking, .. }) = &group.plan else {
                return group;
            };
            let lacks = |one: &Wanted| {
                let letter = super::design::letter(one.part);
                lacking
                    .iter()
                    .any(|(names, _)| names.split(" or ").any(|name| name == letter))
            };
            if !step_down(wanted, &mut rungs, widths.len(), lacks)
                && !step_down(wanted, &mut rungs, widths.len(), |_| true)
            {
                return group;
            }
        }
    }

    fn planned(
        &self,
        thickness: Length,
        wanted: Vec<Wanted>,
        saw: &Saw,
        keep_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> Group {
        let boards = self.of(thickness);
        let job = Job {
            parts: wanted
                .iter()
                .map(|wanted| cut::Part {
                    name: super::design::letter(wanted.part),
                    length: wanted.length,
                    width: Some(wanted.width),
                    count: wanted.count,
                })
                .collect(),
            boards: boards
                .iter()
                .map(|kept| cut::Board {
                    name: kept.name.clone(),
                    length: kept.size.length,
                    width: Some(kept.size.width),
                    price: kept.price,
                    count: kept.count,
                    bad: kept.bad.clone(),
                })
                .collect(),
            kerf: saw.kerf,
            edge: saw.edge,
            order: saw.order,
        };
        let plan = cut::cut(&job, keep_on);
        Group {
            thickness,
            wanted,
            from: boards.iter().map(|kept| kept.from).collect(),
            job,
            plan,
        }
    }

    /// What a group uses is there no longer.
    fn take(&mut self, group: &Group) {
        for board in group.plan.iter().flat_map(|plan| &plan.boards) {
            let from = group.from[board.board];
            if let Some(kept) = self.boards.iter_mut().find(|kept| kept.from == from)
                && let Some(count) = &mut kept.count
            {
                *count = count.saturating_sub(1);
            }
        }
    }
}

/// Takes those parts a rung down; whether any could be.
fn step_down(wanted: &[Wanted], rungs: &mut [usize], count: usize, which: impl Fn(&Wanted) -> bool) -> bool {
    let mut any = false;
    for (one, rung) in wanted.iter().zip(rungs) {
        if which(one) && *rung + 1 < count {
            *rung += 1;
            any = true;
        }
    }
    any
}

/// A part wider than a board, in strips that are butted or glued.
fn in_strips(one: &Wanted, board: Length) -> Wanted {
    let strips = reckon::lumber::strips(one.width, board, Length::ZERO);
    match strips {
        Some(strips) if strips.count > 1 => Wanted {
            strips: strips.count,
            width: strips.width,
            count: one.count.saturating_mul(strips.count),
            ..one.clone()
        },
        _ => one.clone(),
    }
}
