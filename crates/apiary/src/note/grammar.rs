//! The note language as EBNF, made from the table.

use std::fmt::Write as _;

use super::table::{Detail, Element, Entry, Topic, table};

/// The whole grammar in the notation of ISO/IEC 14977, one rule for each verb.
pub fn ebnf() -> String {
    let mut out = String::from(HEAD);
    for topic in Topic::ALL {
        let _ = writeln!(out, "\n(* {} *)", topic.name());
        for entry in table().of(topic) {
            out.push_str(&verb(entry));
        }
    }
    let words: Vec<&str> = table().entries().iter().map(|entry| entry.verb.word).collect();
    let _ = write!(out, "\nhappening = {} ;\n", words.join(" | "));
    out.push_str(VALUES);
    out
}

/// The rule of one verb.
pub fn verb(entry: &Entry) -> String {
    let word = entry.verb.word;
    let forms = entry.shapes.iter().map(|shape| {
        let mut pieces = vec![format!("\"{word}\"")];
        pieces.extend(shape.subject.iter().map(element));
        if !shape.details.is_empty() {
            let details = shape.details.iter().map(detail).collect::<Vec<_>>().join(" | ");
            pieces.push(format!("{{ {details} }}"));
        }
        pieces.join(" , ")
    });
    format!("{word} = {} ;\n", forms.collect::<Vec<_>>().join("\n    | "))
}

fn element(element: &Element) -> String {
    match element {
        Element::Word(words) => match words.as_slice() {
            [only] => format!("\"{only}\""),
            many => format!(
                "( {} )",
                many.iter()
                    .map(|word| format!("\"{word}\""))
                    .collect::<Vec<_>>()
                    .join(" | ")
            ),
        },
        Element::Value { kind, .. } => kind.rule(),
    }
}

fn detail(detail: &Detail) -> String {
    detail
        .elements
        .iter()
        .map(element)
        .collect::<Vec<_>>()
        .join(" , ")
}

const HEAD: &str = "\
line = note | act | setting | remark ;
note = day , [ hour ] , happening , [ \"anyway\" ] , [ remark ] ;
act = \"correct\" , target , \":\" , note
    | \"withdraw\" , target , [ \"because\" , text ]
    | \"settle\" , target , { \",\" , target } , ( \":\" , note | \"because\" , text ) ;
target = handle | \"last\" ;
handle = device_name , \"/\" , count ;
setting = \"day\" , day | \"at\" , [ hive_name ] ;
remark = \"#\" , { ? anything but a line end ? } ;
";

const VALUES: &str = "
day = ? YYYY-MM-DD ? | \"today\" | \"yesterday\" ;
hour = ? HH:MM ? ;
name = letter , { letter | digit | \"-\" | \"_\" | \"'\" } ;
yard_name = name ; pattern_name = name ; hive_name = name ; colony_name = name ; tag_name = name ;
container_name = name ; lot_name = name ; recipe_name = name ; person_name = name ; store_name = name ;
device_name = name ; ingredient_name = name ; product_name = name ;
text = name | '\"' , { ? anything but a double quote ? } , '\"' ;
count = digits | spoken ;
number = [ \"-\" ] , digits , [ \".\" , digits ] ;
figures = number | spoken | [ digits , \"-\" ] , digits , \"/\" , digits ;
spoken = ? a number in words, such as nine, forty one, two hundred and six, four point six ? ;
mass = figures , ( \"kg\" | \"g\" | \"mg\" | \"t\" | \"lb\" | \"oz\" ) ;
length = figures , ( \"mm\" | \"cm\" | \"m\" | \"km\" | \"in\" | \"ft\" | \"mi\" ) ;
area = figures , ( \"cm2\" | \"dm2\" | \"m2\" | \"in2\" ) ;
volume = figures , ( \"ml\" | \"cl\" | \"l\" | \"floz\" | \"gal\" | \"qt\" | \"pt\" ) ;
amount = mass | volume ;
temperature = figures , ( \"C\" | \"F\" ) ;
percent = figures , ( \"%\" | \"per cent\" ) ;
share = count , ( \"/8\" | \"eighth\" | \"eighths\" ) | percent ;
money = figures , ? three capital letters of a currency ? ;
duration = digits , \"h\" , [ digits ] | digits , \"min\" ;
lengths = length , [ length , [ length ] ] ;
bars = hive_name , ( \"bar\" | \"bars\" ) , places | \"bar\" , tag_name ;
places = place , { ( \",\" | \"and\" ) , place } ;
place = count | count , ( \"-\" | \"to\" ) , count ;
goods = count , name , [ \"of\" , amount ] | amount , \"of\" , name ;
";
