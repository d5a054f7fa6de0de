//! Cutting lists: what holds whatever the parts and boards are.

use proptest::prelude::*;
use quantity::Length;
use reckon::cut::{Board, CutError, Job, Order, Part, Plan, Saw, check, cut, offcuts, saw_list};

use crate::{cases, mm};

/// Calls until a search is stopped; every plan has to hold however early that is.
const FEW_CALLS: u32 = 20;

fn planned(job: &Job, calls: u32) -> Result<Plan, CutError> {
    let mut left = calls;
    let plan = cut(job, &mut |progress| {
        assert!(progress.cost.is_none_or(|cost| progress.bound <= cost));
        left -= 1;
        left > 0
    })?;
    assert_eq!(check(job, &plan), Ok(()));
    Ok(plan)
}

fn parts(has_widths: bool) -> impl Strategy<Value = Vec<Part>> {
    let part = (60_u32..900, 20_u32..140, 1_u32..12);
    prop::collection::vec(part, 1..7).prop_map(move |parts| {
        let part = |(number, (length, width, count)): (usize, (u32, u32, u32))| Part {
            name: format!("part {number}"),
            length: mm(length),
            width: has_widths.then(|| mm(width)),
            count,
        };
        parts.into_iter().enumerate().map(part).collect()
    })
}

type Kind = (u32, u32, Option<u64>, Option<u32>, Option<(u32, u32)>);

fn board(number: usize, (length, width, price, count, bad): Kind, has_widths: bool) -> Board {
    Board {
        name: format!("board {number}"),
        length: mm(length),
        width: has_widths.then(|| mm(width)),
        price,
        count,
        bad: bad
            .into_iter()
            .map(|(from, size)| (mm(from), mm(from + size)))
            .collect(),
    }
}

/// Jobs with salvaged boards beside one that every part fits on.
fn jobs() -> impl Strategy<Value = Job> {
    let kind = (
        400_u32..2_500,
        60_u32..240,
        prop::option::of(0_u64..2_000),
        prop::option::of(0_u32..4),
        prop::option::of((0_u32..350, 1_u32..50)),
    );
    let rest = (0_i64..6_000, 0_u32..12, any::<bool>(), 500_u64..1_500);
    let has_widths = any::<bool>();
    has_widths.prop_flat_map(move |has_widths| {
        (
            parts(has_widths),
            prop::collection::vec(kind.clone(), 0..3),
            rest.clone(),
        )
            .prop_map(move |(parts, kinds, (kerf, edge, crosscut_first, price))| {
                let sure = (2_400, 220, Some(price), None, None);
                let kinds = kinds.into_iter().chain([sure]).enumerate();
                Job {
                    parts,
                    boards: kinds
                        .map(|(number, kind)| board(number, kind, has_widths))
                        .collect(),
                    kerf: Length::from_steps(kerf),
                    edge: mm(edge),
                    order: if crosscut_first {
                        Order::CrosscutFirst
                    } else {
                        Order::RipFirst
                    },
                }
            })
    })
}

/// Boards that first fit decreasing needs, with pieces in strips of the first piece's width.
fn first_fit(job: &Job) -> usize {
    let (length, width) = (job.boards[0].length, job.boards[0].width.expect("a width"));
    let mut pieces: Vec<(Length, Length)> = (job.parts.iter())
        .flat_map(|part| vec![(part.width.expect("a width"), part.length); part.count as usize])
        .collect();
    pieces.sort_by(|a, b| b.cmp(a));
    // For each board: the width left, and its strips by width and by length left.
    let mut boards: Vec<(Length, Vec<(Length, Length)>)> = Vec::new();
    'pieces: for (across, along) in pieces {
        for (_, strips) in &mut boards {
            if let Some(strip) = strips
                .iter_mut()
                .find(|strip| strip.0 >= across && strip.1 >= along)
            {
                strip.1 = strip.1 - along - job.kerf;
                continue 'pieces;
            }
        }
        let strip = (across, length - along - job.kerf);
        if let Some(board) = boards.iter_mut().find(|board| board.0 >= across) {
            board.0 = board.0 - across - job.kerf;
            board.1.push(strip);
        } else {
            boards.push((width - across - job.kerf, vec![strip]));
        }
    }
    boards.len()
}

/// The fewest boards of one length for a few pieces, by putting every piece everywhere.
fn fewest(pieces: &[Length], kerf: Length, rooms: &mut Vec<Length>, whole: Length, best: usize) -> usize {
    let Some((&piece, rest)) = pieces.split_first() else {
        return rooms.len().min(best);
    };
    let mut best = best;
    for at in 0..rooms.len() {
        if rooms[at] >= piece {
            let room = rooms[at];
            rooms[at] = room - piece - kerf;
            best = fewest(rest, kerf, rooms, whole, best);
            rooms[at] = room;
        }
    }
    if rooms.len() + 1 < best {
        rooms.push(whole - piece - kerf);
        best = fewest(rest, kerf, rooms, whole, best);
        rooms.pop();
    }
    best
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn every_plan_can_be_sawn_however_early_it_is_asked_for(job in jobs(), calls in 1..FEW_CALLS) {
        let plan = planned(&job, calls).expect("the last board takes every part");
        prop_assert!(plan.bound <= plan.cost);
        prop_assert_eq!(plan.is_optimal(), plan.gap().abs() < 1e-12);
        // The same job stopped at the same call gives the same plan.
        prop_assert_eq!(&planned(&job, calls).expect("as before"), &plan);
    }

    #[test]
    fn more_search_never_makes_it_dearer_or_the_bound_lower(job in jobs()) {
        let (early, late) = (planned(&job, 1).expect("a plan"), planned(&job, FEW_CALLS).expect("a plan"));
        prop_assert!(late.cost <= early.cost && late.bound >= early.bound);
        prop_assert!(late.cost < early.cost || late.waste_fraction <= early.waste_fraction + 1e-12);
    }

    #[test]
    fn every_piece_is_crosscut_and_every_strip_ripped_once(job in jobs()) {
        let plan = planned(&job, 1).expect("a plan");
        let list = saw_list(&job, &plan);
        let cuts = |saw: Saw| {
            let cuts = list.iter().filter(move |cut| cut.saw == saw);
            cuts.flat_map(|cut| cut.boards.iter().map(|(_, times)| *times as usize)).sum::<usize>()
        };
        let pieces = plan.boards.iter().map(|board| board.pieces.len()).sum::<usize>();
        let second = if job.has_widths() && job.order == Order::CrosscutFirst { Saw::Rip } else { Saw::Crosscut };
        prop_assert!(cuts(second) >= pieces);
        let settings: Vec<(Saw, Length)> = list.iter().map(|cut| (cut.saw, cut.measure)).collect();
        if !job.has_widths() {
            prop_assert_eq!(cuts(Saw::Crosscut), pieces);
            let mut once = settings.clone();
            once.sort_unstable();
            once.dedup();
            prop_assert_eq!(once.len(), settings.len(), "a stop is set twice");
        }
        prop_assert_eq!(cuts(Saw::TrimEdges), if job.edge.is_zero() { 0 } else { plan.boards.len() });
    }

    #[test]
    fn offcuts_are_sound_and_apart_from_pieces_and_each_other(job in jobs(), least in 10_u32..400) {
        let plan = planned(&job, 1).expect("a plan");
        let one = Length::mm(1);
        let kept = offcuts(&job, &plan, (mm(least), mm(20)));
        for (at, offcut) in kept.iter().enumerate() {
            prop_assert!(offcut.length >= mm(least) && offcut.width.is_none_or(|width| width >= mm(20)));
            let board = &job.boards[plan.boards[offcut.board].board];
            prop_assert!(offcut.x >= job.edge && offcut.x + offcut.length + job.edge <= board.length);
            prop_assert!(board.width.is_none_or(|width| offcut.y + offcut.width.unwrap_or(one) + job.edge <= width));
            prop_assert!(board.bad.iter().all(|(from, to)| offcut.x >= *to || offcut.x + offcut.length <= *from));
            let pieces = plan.boards[offcut.board].pieces.iter();
            let pieces = pieces.map(|piece| (piece.x, piece.y, piece.length, piece.width));
            let others = kept[at + 1..].iter().filter(|other| other.board == offcut.board);
            let others = others.map(|other| (other.x, other.y, other.length, other.width));
            for (x, y, length, width) in pieces.chain(others) {
                let (far_x, far_y) = (x + length, y + width.unwrap_or(one));
                let meets_x = offcut.x < far_x && x < offcut.x + offcut.length;
                let meets_y = offcut.y < far_y && y < offcut.y + offcut.width.unwrap_or(one);
                prop_assert!(!(meets_x && meets_y), "{offcut:?} meets {x:?} {y:?}");
            }
        }
    }

    #[test]
    fn never_more_boards_than_first_fit(parts in parts(true), kerf in 0_i64..2_000) {
        let job = Job {
            parts,
            boards: vec![board(0, (1_200, 180, None, None, None), true)],
            kerf: Length::from_steps(kerf),
            edge: Length::ZERO,
            order: Order::RipFirst,
        };
        prop_assert!(planned(&job, 1).expect("a plan").boards.len() <= first_fit(&job));
    }

    #[test]
    fn a_few_lengths_are_cut_from_the_fewest_boards(lengths in prop::collection::vec(100_u32..900, 1..8), kerf in 0_u32..30) {
        let part = |(number, &length): (usize, &u32)| Part { name: number.to_string(), length: mm(length), width: None, count: 1 };
        let job = Job {
            parts: lengths.iter().enumerate().map(part).collect(),
            boards: vec![board(0, (1_000, 0, Some(3), None, None), false)],
            kerf: mm(kerf),
            edge: Length::ZERO,
            order: Order::RipFirst,
        };
        let plan = planned(&job, 10_000).expect("a plan");
        let pieces: Vec<Length> = lengths.iter().map(|&length| mm(length)).collect();
        let least = fewest(&pieces, mm(kerf), &mut Vec::new(), mm(1_000), pieces.len());
        prop_assert_eq!((plan.boards.len(), plan.is_optimal()), (least, true));
    }
}

fn bars(boards: Vec<Board>, lengths: &[(u32, u32)]) -> Job {
    let part = |&(length, count): &(u32, u32)| Part {
        name: format!("bar {length}"),
        length: mm(length),
        width: None,
        count,
    };
    Job {
        parts: lengths.iter().map(part).collect(),
        boards,
        kerf: mm(4),
        edge: Length::ZERO,
        order: Order::RipFirst,
    }
}

#[test]
fn the_kerf_lies_between_pieces_and_not_at_the_end() {
    let kind = |length| vec![board(0, (length, 0, Some(1), None, None), false)];
    assert_eq!(planned(&bars(kind(1_007), &[(333, 3)]), 9).unwrap().cost, 1);
    assert_eq!(planned(&bars(kind(1_006), &[(333, 3)]), 9).unwrap().cost, 2);
}

#[test]
fn pieces_that_cannot_be_made_are_named() {
    let kind = |count, bad| vec![board(0, (1_000, 0, Some(1), count, bad), false)];
    let refused = |boards, lengths: &[(u32, u32)]| planned(&bars(boards, lengths), 1_000).unwrap_err();
    assert_eq!(
        refused(kind(None, None), &[(1_001, 1), (1_000, 1), (2_000, 3)]),
        CutError::TooLarge {
            parts: vec!["bar 1001".to_owned(), "bar 2000".to_owned()]
        }
    );
    assert_eq!(
        refused(kind(None, Some((500, 20))), &[(501, 1)]),
        CutError::TooLarge {
            parts: vec!["bar 501".to_owned()]
        }
    );
    assert_eq!(
        refused(kind(Some(2), None), &[(600, 3)]),
        CutError::TooFewBoards {
            lacking: vec![("bar 600".to_owned(), 1)],
            proven: true
        }
    );
    // Fractions of boards would do; whole ones do not.
    assert_eq!(
        refused(kind(Some(2), None), &[(400, 5)]),
        CutError::TooFewBoards {
            lacking: vec![("bar 400".to_owned(), 1)],
            proven: true
        }
    );
}

#[test]
fn what_no_saw_can_do_is_refused() {
    let kind = |price, bad| vec![board(0, (1_000, 0, price, None, bad), false)];
    let sound = bars(kind(Some(1), None), &[(300, 2)]);
    let refused = |job: &Job| planned(job, 9).unwrap_err();
    let mut job = sound.clone();
    job.parts[0].count = 0;
    assert_eq!(refused(&job), CutError::Empty { parts: true });
    job.parts[0].count = 200_000;
    assert_eq!(refused(&job), CutError::TooManyPieces);
    job = sound.clone();
    job.boards[0].count = Some(0);
    assert_eq!(refused(&job), CutError::Empty { parts: false });
    job.boards[0].count = None;
    job.boards[0].width = Some(mm(10));
    let name = "board 0".to_owned();
    assert_eq!(refused(&job), CutError::MixedDirections { name });
    for (kerf, edge) in [(-1, 0), (0, -1), (200_000, 0)] {
        job = sound.clone();
        (job.kerf, job.edge) = (Length::mm(kerf), Length::mm(edge));
        assert!(matches!(refused(&job), CutError::Measure { name: None, .. }));
    }
    for boards in [kind(Some(1 << 40), None), kind(None, Some((990, 20)))] {
        job = Job {
            boards,
            ..sound.clone()
        };
        assert!(matches!(refused(&job), CutError::Measure { name: Some(_), .. }));
    }
    job = sound;
    job.parts[0].length = Length::ZERO;
    assert!(matches!(refused(&job), CutError::Measure { name: Some(_), .. }));
}

/// A good plan, broken in every way that the check knows.
#[test]
fn the_check_finds_what_is_wrong() {
    let boards = vec![board(0, (1_000, 100, Some(5), Some(1), Some((600, 50))), true)];
    let part = |name: &str, length, width, count| Part {
        name: name.to_owned(),
        length: mm(length),
        width: Some(mm(width)),
        count,
    };
    let job = Job {
        parts: vec![part("a", 295, 40, 2), part("b", 300, 30, 1)],
        boards,
        kerf: mm(4),
        edge: mm(2),
        order: Order::RipFirst,
    };
    let good = planned(&job, 50).expect("a plan");
    assert_eq!((good.boards.len(), good.cost), (1, 5));
    let break_with = |change: &dyn Fn(&mut Plan)| {
        let mut plan = good.clone();
        change(&mut plan);
        check(&job, &plan).expect_err("a broken plan").says
    };
    let found = |says: &str, change: &dyn Fn(&mut Plan)| {
        let told = break_with(change);
        assert!(told.contains(says), "{told}");
    };
    found("are made", &|plan| plan.boards[0].pieces.truncate(2));
    found("cost", &|plan| plan.cost += 1);
    found("bound", &|plan| plan.bound += 1);
    found("waste", &|plan| plan.waste_fraction += 0.01);
    found("another size", &|plan| plan.boards[0].pieces[0].length += mm(1));
    found("beyond an end", &|plan| plan.boards[0].pieces[0].x = mm(1));
    found("beyond an end", &|plan| plan.boards[0].pieces[0].x = mm(704));
    found("beyond a side", &|plan| plan.boards[0].pieces[0].y = mm(1));
    found("bad place", &|plan| plan.boards[0].pieces[0].x = mm(306));
    found("such board", &|plan| plan.boards[0].board = 1);
    found("such part", &|plan| plan.boards[0].pieces[0].part = 2);
    found("there are fewer", &|plan| {
        let piece = plan.boards[0].pieces.pop().expect("a piece");
        let mut other = plan.boards[0].clone();
        other.pieces = vec![piece];
        plan.boards.push(other);
    });
    found("nothing is sawn", &|plan| plan.boards[0].pieces.clear());
    let strip = |plan: &Plan| plan.boards[0].pieces[0].y;
    let same_strip = (0..3)
        .filter(|&at| good.boards[0].pieces[at].y == strip(&good))
        .count();
    assert!(same_strip == 2, "{good:?}");
    found("two pieces", &|plan| plan.boards[0].pieces[1].x -= mm(1));
    found("two strips", &|plan| plan.boards[0].pieces[2].y -= mm(1));
}
