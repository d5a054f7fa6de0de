//! A walk through a season: the notes of `docs/manual.md`, entered into empty books through the pages alone.
//!
//! At its end the pages have to answer what the manual answers, figure for figure.

use jiff::civil::date;
use serde_json::Value;

use crate::driver::Script;
use crate::keeper::Keeper;
use crate::served::Served;

#[test]
fn a_season_is_written_and_read_through_the_pages() {
    let keeper = Keeper::sits_down(
        Served::empty(date(2024, 9, 30).at(19, 30, 0, 0)),
        1440,
        Script::On,
    );
    yards_and_hives(&keeper);
    what_was_there(&keeper);
    bees_come_in(&keeper);
    looking_bar_by_bar(&keeper);
    a_split_and_a_late_swarm(&keeper);
    mistakes_are_put_right(&keeper);
    the_last_look_before_the_harvest(&keeper);
    what_is_refused(&keeper);
    the_harvest(&keeper);
    wax_and_balm(&keeper);
    the_stall(&keeper);
    what_was_odd_is_settled(&keeper);
    autumn(&keeper);
    the_pages_answer_as_the_manual_does(&keeper);
}

#[test]
fn a_spring_is_written_on_a_narrow_screen_without_a_script() {
    let keeper = Keeper::sits_down(
        Served::empty(date(2024, 9, 30).at(19, 30, 0, 0)),
        320,
        Script::Off,
    );
    yards_and_hives(&keeper);
    what_was_there(&keeper);
    bees_come_in(&keeper);
    looking_bar_by_bar(&keeper);
    assert_eq!(keeper.entries(), 30);
}

fn yards_and_hives(keeper: &Keeper) {
    keeper
        .opens("/")
        .types("2024-03-02 farm \"Sallowford\" keeper p-1 market uk");
    keeper
        .opens("/write/yard")
        .fills("day", "2024-03-02")
        .fills("yard", "toft")
        .fills("latitude", "53.4")
        .fills("longitude", "-1.9")
        .fills("remark", "behind the barn")
        .writes("2024-03-02 yard toft at 53.4 -1.9   # behind the barn");
    keeper.fills_in("2024-03-02 pattern vale slope top 42 cm floor 20 cm depth 27 cm length 72 cm bar 35 mm");
    keeper
        .opens("/write")
        .follows("hive")
        .fills("day", "2024-03-02")
        .fills("hive", "hawthorn")
        .fills("yard", "toft")
        .fills("pattern", "vale")
        .fills("bars", "20")
        .fills("facing", "south")
        .writes("2024-03-02 hive hawthorn in toft pattern vale bars 20 facing south");
    keeper.fills_in("2024-03-02 hive bullfinch in toft pattern vale bars 20");
    keeper.fills_in("2024-03-02 hive maple in toft pattern vale bars 20");
    keeper.fills_in("2024-03-02 register toft with \"the bee register\" number \"S-41\" until 2025-03-31");
    keeper.opens("/yard");
    let said = keeper.texts("main").join("\n");
    for hive in ["hawthorn", "bullfinch", "maple"] {
        assert!(said.contains(hive), "the yard shows {hive}");
    }
}

fn what_was_there(keeper: &Keeper) {
    keeper.fills_in("2024-03-02 start cash 240.00 GBP");
    keeper.fills_in("2024-03-02 start hawthorn 8 bars drawn");
    keeper.fills_in("2024-03-02 start 30 jars of 340 g");
    keeper.fills_in("2024-03-02 start wax-1 0.4 kg wax");
    keeper.fills_in("2024-03-09 spend 33.60 GBP on 48 jars of 227 g");
    keeper.fills_in("2024-03-09 spend 8.40 GBP on \"straining cloth\"");
    keeper.fills_in("2024-03-09 spend 14.40 GBP on 36 tins of 20 g");
    keeper.fills_in("2024-03-09 own refractometer 46.00 GBP life 8 years");
    keeper
        .opens("/money")
        .types("2024-03-10 hours 3h30 \"setting up the toft\"");
    assert_eq!(keeper.json("/money")["cash"]["cash"], 137.6);
}

fn bees_come_in(keeper: &Keeper) {
    keeper.fills_in("2024-04-21 install bullfinch swarm weight 1.4 kg from \"old quarry wall\"");
    keeper.fills_in("2024-04-21 spend 2.10 GBP on sugar");
    keeper
        .opens("/hive/bullfinch")
        .types("2024-04-23 feed bullfinch syrup 1.2 kg");
    keeper.fills_in("2024-04-28 bloom hawthorn-tree full in toft");
}

fn looking_bar_by_bar(keeper: &Keeper) {
    keeper.opens("/hive/hawthorn").types(
        "day 2024-05-05
at hawthorn
look bar 1 drawn 8/8 honey 4/8 pollen 2/8
look bars 2 to 4 drawn 8/8 brood 5/8 pollen 1/8
look bar 5 drawn six eighths brood 40 % eggs seen",
    );
    keeper.opens("/hive/hawthorn").types(
        "day 2024-05-06
at hawthorn
look bars six and seven drawn 8/8 honey 3/8
look bar 8 drawn 90 per cent honey one eighth
look queen seen temper calm bees 5/8
at
hours 1h15 looking",
    );
    keeper.fills_in("2024-05-12 add hawthorn 2 bars at 5");
    keeper.fills_in("2024-05-12 shift hawthorn bar 10 to 7");
    keeper.fills_in("2024-05-19 look bullfinch bars 1 to 3 drawn 5/8 brood 3/8 eggs seen");
}

fn a_split_and_a_late_swarm(keeper: &Keeper) {
    keeper.fills_in("2024-05-26 look hawthorn bars 5 and 6 drawn 4/8 eggs seen");
    keeper.fills_in("2024-05-26 look hawthorn bar 8 drawn 8/8 brood 4/8 eggs seen");
    keeper
        .opens("/hive/hawthorn")
        .follows("Combs split off")
        .fills("day", "2024-05-26")
        .fills("bars.places", "8 to 10")
        .fills("hive", "maple")
        .fills("queen", "stayed")
        .writes("2024-05-26 split hawthorn bars 8 to 10 into maple queen stayed");
    keeper.opens("/").types("2024-05-26 hours 2h splitting");
    keeper.fills_in("2024-06-09 queen-cells maple bar 1 sealed 3");
    keeper.fills_in("2024-06-10 follower maple at 11");
    keeper
        .fills_in("2024-06-10 install maple swarm weight 0.9 kg as goldcrest at 11 from \"bell tower ivy\"");
    keeper.fills_in("2024-06-15 flow begins in toft");
    keeper.fills_in("2024-06-23 look maple bars 11 and 12 drawn 5/8 brood 2/8");
    keeper.fills_in("2024-06-23 look maple bars 1 and 2 drawn 8/8 brood 3/8 eggs seen");
    keeper.fills_in("2024-06-23 queen maple seen marked green");
    keeper.fills_in("2024-06-23 look goldcrest queen unseen temper calm");
}

fn mistakes_are_put_right(keeper: &Keeper) {
    keeper.fills_in("2024-06-24 feed goldcrest syrup 10 kg");
    keeper
        .opens("/books/note/kitchen/43")
        .follows("Correct it")
        .fills("amount", "1.0 kg")
        .writes_what_is_shown("correct kitchen/43: 2024-06-24 feed goldcrest syrup 1.0 kg");
    keeper.fills_in("2024-06-30 drop hawthorn days 3 mites 9");
    keeper.opens("/").types("2024-06-30 drop hawthorn days 3 mites 9");
    keeper
        .opens("/books/note/kitchen/46")
        .follows("Withdraw it")
        .fills("because", "written twice")
        .writes_what_is_shown("withdraw kitchen/46 because \"written twice\"");
    keeper.opens("/books/note/kitchen/43");
    let said = keeper.texts("main").join("\n");
    assert!(
        said.contains("kitchen/44"),
        "the wrong note leads to the right one: {said}"
    );
}

fn the_last_look_before_the_harvest(keeper: &Keeper) {
    keeper.opens("/yard").types(
        "day 2024-07-14
at hawthorn
look bars 5 and 6 drawn 8/8 brood 4/8
look bar 7 drawn 8/8 honey 6/8
look bar 8 drawn 8/8 honey 7/8 capped 3/8
look bars 9 and 10 drawn 8/8 honey 8/8 capped 7/8
look bar 11 drawn 8/8 honey 8/8 capped 8/8
look bar 12 drawn 3/8 nectar 2/8
at bullfinch
look bars 1 to 5 drawn 8/8 brood 4/8
look bar 6 drawn 8/8 honey 4/8 pollen 2/8
look bar 7 drawn 8/8 honey 8/8 capped 7/8
look bar 8 drawn 6/8 honey 6/8 capped 6/8
look bar 9 drawn 2/8 nectar 1/8
look queen unseen temper calm bees 6/8
at
flow ends in toft",
    );
    keeper.opens("/?on=2024-07-14");
    let ripe = keeper.texts("main table tbody tr").join("\n");
    for hive in ["hawthorn", "bullfinch"] {
        assert!(ripe.contains(hive), "{hive} has ripe combs: {ripe}");
    }
}

fn what_is_refused(keeper: &Keeper) {
    keeper.types_in_vain(
        "2024-07-20 look hawthorn bar 23 drawn 8/8",
        "has places 1 to 20, and no bar 23",
    );
    keeper.types_in_vain(
        "2024-07-20 look hawthron bar 3 drawn 8/8",
        "did you mean hawthorn?",
    );
    keeper.types_in_vain(
        "2024-07-20 feed bullfinch syrup 1,5 kg",
        "a list, since a comma makes one",
    );
    keeper
        .opens("/write/cut")
        .fills("day", "2024-07-20")
        .fills("bars.hive", "hawthorn")
        .fills("bars.places", "11")
        .fills("into", "pail-2")
        .fills("comb", "45 kg")
        .shows_in_vain("comb can hold about 2.5 kg of honey when full");
    keeper
        .fills("comb", "6.10 kg")
        .fills("remark", "a double comb")
        .shows_in_vain("6.10 kg was said");
    keeper.insists("2024-07-20 cut hawthorn bar 11 comb 6.10 kg into pail-2 anyway   # a double comb");
}

fn the_harvest(keeper: &Keeper) {
    keeper.fills_in("2024-07-21 14:10 cut hawthorn bars 9 and 10 into pail-1");
    keeper.fills_in("2024-07-21 14:35 cut bullfinch bar 7 half into pail-1");
    keeper.fills_in("2024-07-21 15:00 cut bullfinch bar 8 part comb 0.9 kg into 3 pieces of 300 g lot C24");
    keeper.fills_in("2024-07-21 18:20 weigh pail-1 gross 7.04 kg tare 1.16 kg");
    keeper.fills_in("2024-07-21 hours 4h30 harvest");
    keeper.fills_in("2024-07-22 crush pail-1");
    keeper.fills_in("2024-07-22 crush pail-2");
    keeper.fills_in("2024-07-23 strain pail-1 into tank-1 honey 4.58 kg residue 1.02 kg loss 0.08 kg");
    keeper.fills_in("2024-07-23 strain pail-2 into tank-1 honey 4.84 kg residue 1.03 kg loss 0.06 kg");
    keeper
        .opens("/container/tank-1")
        .follows("Water read")
        .fills("day", "2024-07-24")
        .fills("index", "1.4918")
        .fills("at", "26 C")
        .writes("2024-07-24 read tank-1 index 1.4918 at 26 C");
    keeper.fills_in("2024-07-25 fill tank-1 14 jars of 340 g lot S24");
    keeper.fills_in("2024-07-25 fill tank-1 18 jars of 227 g lot T24 best before 2026-07-31");
    keeper.opens("/honey").types(
        "2024-07-25 hours 3h15 \"straining and filling\"
2024-07-26 spend 11.20 GBP on labels",
    );
}

fn wax_and_balm(keeper: &Keeper) {
    keeper.fills_in("2024-07-28 melt pail-1 residue 1.02 kg wax 0.34 kg into wax-2 loss 0.63 kg");
    keeper.fills_in("2024-07-28 melt pail-2 residue 1.03 kg wax 0.36 kg into wax-2 loss 0.64 kg");
    keeper.fills_in("2024-07-29 cast wax-2 6 blocks of 50 g lot W24");
    keeper.fills_in("2024-07-30 spend 6.30 GBP on 1 kg of sunflower");
    keeper.fills_in("2024-07-30 spend 9.80 GBP on 0.5 kg of shea");
    keeper.fills_in("2024-07-30 recipe balm wax 22 % sunflower 58 % shea 20 %");
    keeper.fills_in("2024-07-31 make balm batch bowl-1 wax-2 0.11 kg sunflower 0.29 kg shea 0.1 kg");
    keeper.fills_in("2024-07-31 pack bowl-1 24 tins of 20 g lot B24");
}

fn the_stall(keeper: &Keeper) {
    for (id, other) in [
        ("p-3", "what=comes to the stall every week"),
        ("p-4", "what=the shop by the bridge"),
    ] {
        keeper
            .opens("/books/people")
            .fills("id", id)
            .fills("other", other)
            .enters(id);
    }
    keeper.fills_in("2024-08-03 price honey 340 g 6.80 GBP at stall");
    keeper.fills_in("2024-08-03 price honey 227 g 4.90 GBP at stall");
    keeper
        .opens("/lot/S24")
        .follows("Sold")
        .fills("day", "2024-08-03")
        .fills("count", "5")
        .fills("at", "stall")
        .fills("for", "34.00 GBP")
        .writes("2024-08-03 sell 5 of S24 at stall for 34.00 GBP");
    keeper.opens("/stall").types(
        "day 2024-08-03
sell 6 of T24 at stall for 29.40 GBP
sell 2 of C24 at stall for 14.00 GBP
sell 4 of B24 at stall for 22.00 GBP
sell 2 of W24 at stall for 3.60 GBP
hours 2h30 stall
travel toft 12 km for stall",
    );
    keeper.fills_in("2024-08-04 sell 2 of S24 to p-3 for 13.60 GBP");
    keeper.opens("/stall").types(
        "day 2024-08-05
consign 4 of S24 to p-4
consign 3 of T24 to p-4
consign 6 of B24 to p-4",
    );
    keeper.fills_in("2024-08-06 give 1 of S24");
    keeper.fills_in("2024-08-07 take 1 of S24");
    keeper.fills_in("2024-08-07 take 1 of C24");
    keeper.fills_in("2024-08-09 spoil 1 of T24 because \"lid left loose\"");
    keeper.fills_in("2024-08-09 spoil 1 jar of 340 g");
    keeper.fills_in("2024-08-10 refund 1 of S24 6.80 GBP spoilt to p-3");
    keeper.fills_in("2024-08-11 receive 30.00 GBP for \"bee walk\"");
    keeper.fills_in("2024-08-19 sell 2 of S24 from p-4 for 10.40 GBP");
    keeper.fills_in("2024-09-01 consign back 1 of S24 from p-4");
    keeper.types_in_vain(
        "2024-09-02 sell 20 of T24 at stall for 98.00 GBP",
        "8 are on the shelf",
    );
}

fn what_was_odd_is_settled(keeper: &Keeper) {
    keeper.fills_in("2024-09-03 tally S24 1");
    settles(keeper, "kitchen/106", "one went to the neighbour for the ladder");
    settles(keeper, "kitchen/61", "the two combs came off as one piece");
    keeper.opens("/books/complaints");
    assert_eq!(keeper.texts("main .notice.odd"), Vec::<String>::new());
}

fn settles(keeper: &Keeper, handle: &str, because: &str) {
    keeper
        .opens(&format!("/books/settle?of={handle}"))
        .fills("because", because)
        .writes_what_is_shown(&format!("settle {handle} because \"{because}\""));
}

fn autumn(keeper: &Keeper) {
    keeper.fills_in("2024-09-05 sign maple bar 2 \"three cells with dull, uneven lids\"");
    keeper.fills_in("2024-09-07 visit toft inspector note \"looked at maple, nothing to report\"");
    keeper.fills_in("2024-09-08 unite goldcrest into maple");
    keeper.fills_in("2024-09-08 follower maple out");
    keeper.opens("/yard").types(
        "day 2024-09-15
look hawthorn heft heavy temper calm   # enough for the winter
look bullfinch heft fair
look maple heft fair",
    );
    keeper.served.set_clock(date(2024, 9, 23).at(19, 30, 0, 0));
    keeper.opens("/note").types_a_day_in_words(
        "yesterday store maple bars 11 and 12 in freezer",
        "2024-09-22 store maple bars 11 and 12 in freezer",
    );
    keeper.served.set_clock(date(2024, 9, 30).at(19, 30, 0, 0));
    keeper.fills_in("2024-07-19 shift hawthorn bar 8 to 9");
    settles(
        keeper,
        "kitchen/62",
        "the places were counted on the day, after the shift",
    );
}

fn the_pages_answer_as_the_manual_does(keeper: &Keeper) {
    assert_eq!(keeper.entries(), 118);
    keeper.opens("/money");
    let money = keeper.texts("main").join("\n");
    let told = keeper.json("/money?wage=15.00+GBP");
    assert_eq!(told["cash"]["cash"], 258.4);
    assert!(money.contains("258.40"), "the page tells the cash: {money}");
    assert!(money.contains("9.70"), "the page tells what a kilo cost: {money}");
    let figures = numbers(&told["cost"]);
    for figure in [8.846, 85.8, 9.7, 38.53] {
        assert!(
            figures.iter().any(|own| (own - figure).abs() < 0.006),
            "{figure} is not among {figures:?}"
        );
    }
    keeper.opens("/honey");
    let honey = keeper.texts("main").join("\n");
    for figure in ["5.880", "9.420", "8.846", "0.574", "0.290", "0.020"] {
        assert!(
            honey.contains(figure),
            "{figure} is not on the page of the honey: {honey}"
        );
    }
    keeper.opens("/lot/S24");
    let lot = keeper.texts("main").join("\n");
    for said in [
        "14",
        "17.3",
        "Wedmore 1955",
        "tank-1",
        "6.100",
        "1.176",
        "2.352",
        "kitchen/61",
        "kitchen/63",
        "kitchen/62",
        "34.00 GBP",
        "13.60 GBP",
        "10.40 GBP",
    ] {
        assert!(lot.contains(said), "{said} is not on the page of the lot: {lot}");
    }
    keeper.opens("/books/complaints");
    assert_eq!(keeper.texts("main .notice.odd"), Vec::<String>::new());
}

/// Every number within.
fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Number(number) => number.as_f64().into_iter().collect(),
        Value::Array(all) => all.iter().flat_map(numbers).collect(),
        Value::Object(all) => all.values().flat_map(numbers).collect(),
        Value::String(text) => text.parse().into_iter().collect(),
        Value::Null | Value::Bool(_) => Vec::new(),
    }
}
