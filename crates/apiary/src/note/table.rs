//! The one table of verbs, from which reader, printer, grammar, forms and completions all come.
//!
//! A verb is declared once, in the `facts.rs` of its topic, as patterns that look like the note itself:
//!
//! ```text
//! Form { subject: "{bars:bars}", details: &["half", "comb {comb:mass}", "!into {into:container?}"] }
//! ```
//!
//! Words stand for themselves (`bar|bars` may be either), `{field:kind}` is a value. A detail may begin
//! with `!` (the note needs it) or `*` (it may come again and again). A kind ending in `+` makes its name
//! known, one ending in `?` may or may not be known already.

use std::collections::BTreeSet;
use std::sync::LazyLock;

/// The version of the note language that this table describes. It is stored with every entry;
/// each version is read for ever.
pub const GRAMMAR: u16 = 1;

/// The part of the craft that a verb belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// Yards, patterns, hives, devices.
    Ground,
    /// Bees, bars and combs.
    Colony,
    /// Mites, symptoms.
    Health,
    /// From the cut comb to the jar.
    Honey,
    /// Wax.
    Wax,
    /// Salves, balms and other goods made.
    Goods,
    /// Selling and giving.
    Trade,
    /// Cash, wear, hours.
    Money,
    /// Flow, bloom, weather, visits.
    Place,
    /// Samples, papers, consent.
    Proof,
}

impl Topic {
    /// All topics, in the order in which the manual treats them.
    pub const ALL: [Self; 10] = [
        Self::Ground,
        Self::Colony,
        Self::Health,
        Self::Honey,
        Self::Wax,
        Self::Goods,
        Self::Trade,
        Self::Money,
        Self::Place,
        Self::Proof,
    ];

    /// The topic's name as the manual prints it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ground => "ground",
            Self::Colony => "colony",
            Self::Health => "health",
            Self::Honey => "honey",
            Self::Wax => "wax",
            Self::Goods => "goods",
            Self::Trade => "trade",
            Self::Money => "money",
            Self::Place => "place",
            Self::Proof => "proof",
        }
    }
}

/// A verb of the note language.
#[derive(Debug)]
pub struct Verb {
    /// The word itself.
    pub word: &'static str,
    /// What happened, in one sentence.
    pub says: &'static str,
    /// The ways in which it can be said; the reader tries them in this order.
    pub forms: &'static [Form],
    /// Whole notes that show it; each is executed as a test.
    pub examples: &'static [&'static str],
}

/// One way of saying a verb.
#[derive(Debug)]
pub struct Form {
    /// What stands behind the verb, in fixed order.
    pub subject: &'static str,
    /// What may follow, in any order.
    pub details: &'static [&'static str],
}

/// Sorts of things that have labels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A place where hives stand.
    Yard,
    /// A hive or bar design.
    Pattern,
    /// A box.
    Hive,
    /// Bees; a hive's own name also means the colony in it.
    Colony,
    /// A bar by its own tag.
    Tag,
    /// A pail, tank, wax pot or batch.
    Container,
    /// Goods filled or packed together.
    Lot,
    /// A recipe.
    Recipe,
    /// A person of the address book.
    Person,
    /// Where combs are kept without bees.
    Store,
    /// A phone or computer that notes are written on.
    Device,
    /// An ingredient: a container, or a good bought.
    Ingredient,
    /// A word for what is sold.
    Product,
}

impl What {
    /// The sort as a sentence names it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Yard => "yard",
            Self::Pattern => "pattern",
            Self::Hive => "hive",
            Self::Colony => "colony",
            Self::Tag => "tag",
            Self::Container => "container",
            Self::Lot => "lot",
            Self::Recipe => "recipe",
            Self::Person => "person",
            Self::Store => "store",
            Self::Device => "device",
            Self::Ingredient => "ingredient",
            Self::Product => "product",
        }
    }

    /// A label that the manual and the messages use to show one.
    const fn example(self) -> &'static str {
        match self {
            Self::Yard => "orchard",
            Self::Pattern => "sloping",
            Self::Hive | Self::Colony => "alder",
            Self::Tag => "K7",
            Self::Container => "pail-12",
            Self::Lot => "A26",
            Self::Recipe => "balm",
            Self::Person => "p-14",
            Self::Store => "freezer",
            Self::Device => "phone",
            Self::Ingredient => "shea",
            Self::Product => "honey",
        }
    }
}

/// Whether a name has to be known before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// An earlier note has to have made it known.
    Before,
    /// This note makes it known.
    Now,
    /// Either.
    Either,
}

/// What can stand at a place of a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A label.
    Name(What, Known),
    /// Free words.
    Text,
    /// One word of a closed set.
    Word(Vec<&'static str>),
    /// A count.
    Count,
    /// A bare number.
    Number,
    /// A mass with its unit.
    Mass,
    /// A length with its unit.
    Length,
    /// An area with its unit.
    Area,
    /// A volume with its unit.
    Volume,
    /// A mass or a volume.
    Amount,
    /// A temperature.
    Temperature,
    /// Per cent.
    Percent,
    /// A share of a comb.
    Share,
    /// Money.
    Money,
    /// A length of time.
    Duration,
    /// A day.
    Day,
    /// One to three lengths.
    Lengths,
    /// Bars of a hive, or a tag.
    Bars,
    /// Goods.
    Goods,
}

impl Kind {
    /// What would be accepted, with an example.
    pub fn expects(&self) -> String {
        match self {
            Self::Name(what, Known::Now) => {
                format!("a new name for the {}, such as {}", what.name(), what.example())
            }
            Self::Name(what, _) => format!("a {}, such as {}", what.name(), what.example()),
            Self::Text => "a word, or words between quotes".to_owned(),
            Self::Word(words) => words.join(" or "),
            Self::Count => "a count, such as 12".to_owned(),
            Self::Number => "a number, such as 1.4925".to_owned(),
            Self::Mass => "a mass, such as 4.6 kg".to_owned(),
            Self::Length => "a length, such as 35 mm".to_owned(),
            Self::Area => "an area, such as 812 cm2".to_owned(),
            Self::Volume => "a volume, such as 118 ml".to_owned(),
            Self::Amount => "a mass or a volume, such as 0.2 kg or 30 ml".to_owned(),
            Self::Temperature => "a temperature, such as 24 C".to_owned(),
            Self::Percent => "per cent, such as 17.4 %".to_owned(),
            Self::Share => "a share, such as 5/8 or 60 %".to_owned(),
            Self::Money => "money, such as 6.50 GBP".to_owned(),
            Self::Duration => "a length of time, such as 2h30".to_owned(),
            Self::Day => "a day, such as 2026-07-19".to_owned(),
            Self::Lengths => "up to three lengths, such as 53 mm 54 mm 53 mm".to_owned(),
            Self::Bars => {
                "bars of a hive, such as alder bars 9 and 10, or a bar by its tag, such as bar K7".to_owned()
            }
            Self::Goods => "goods, such as 12 jars of 340 g or 2 kg of shea".to_owned(),
        }
    }

    /// The name of the grammar rule for it.
    pub(crate) fn rule(&self) -> String {
        match self {
            Self::Name(what, _) => format!("{}_name", what.name()),
            Self::Text => "text".to_owned(),
            Self::Word(words) => match words.as_slice() {
                [only] => format!("\"{only}\""),
                many => format!(
                    "( {} )",
                    many.iter()
                        .map(|w| format!("\"{w}\""))
                        .collect::<Vec<_>>()
                        .join(" | ")
                ),
            },
            Self::Count => "count".to_owned(),
            Self::Number => "number".to_owned(),
            Self::Mass => "mass".to_owned(),
            Self::Length => "length".to_owned(),
            Self::Area => "area".to_owned(),
            Self::Volume => "volume".to_owned(),
            Self::Amount => "amount".to_owned(),
            Self::Temperature => "temperature".to_owned(),
            Self::Percent => "percent".to_owned(),
            Self::Share => "share".to_owned(),
            Self::Money => "money".to_owned(),
            Self::Duration => "duration".to_owned(),
            Self::Day => "day".to_owned(),
            Self::Lengths => "lengths".to_owned(),
            Self::Bars => "bars".to_owned(),
            Self::Goods => "goods".to_owned(),
        }
    }
}

/// One element of a compiled pattern.
#[derive(Debug)]
pub enum Element {
    /// One of these words; the last is the one printed.
    Word(Vec<&'static str>),
    /// A value.
    Value {
        /// The field that holds it.
        field: &'static str,
        /// What may stand there.
        kind: Kind,
    },
}

/// A compiled detail.
#[derive(Debug)]
pub struct Detail {
    /// Its words and values.
    pub elements: Vec<Element>,
    /// The note needs it.
    pub required: bool,
    /// It may come again and again.
    pub repeats: bool,
    /// For a detail without a value, the field that says it is there.
    pub(crate) flag: Option<&'static str>,
    /// The letter that its first word begins with; none where it begins with a value.
    pub(crate) first: Option<u8>,
}

impl Detail {
    /// For a detail of words alone, the field that says it is there; none where it holds a value.
    pub fn flag(&self) -> Option<&'static str> {
        self.flag
    }
}

/// A compiled form.
#[derive(Debug)]
pub struct Shape {
    /// What stands behind the verb.
    pub subject: Vec<Element>,
    /// What may follow.
    pub details: Vec<Detail>,
    /// The fields that hold labels.
    names: Vec<(&'static str, What, Known)>,
}

impl Shape {
    fn new(form: &Form) -> Self {
        let subject = compile(form.subject);
        let details: Vec<Detail> = form.details.iter().map(|d| detail(d)).collect();
        let elements = subject
            .iter()
            .chain(details.iter().flat_map(|detail| &detail.elements));
        let names = elements.filter_map(|element| match element {
            Element::Value {
                field,
                kind: Kind::Name(what, known),
            } => Some((*field, *what, *known)),
            _ => None,
        });
        Self {
            names: names.collect(),
            subject,
            details,
        }
    }

    /// What sort of thing the label in a field means, and whether it has to be known.
    pub fn label(&self, field: &str) -> Option<(What, Known)> {
        self.names
            .iter()
            .find(|(of, _, _)| *of == field)
            .map(|(_, what, known)| (*what, *known))
    }

    /// The kind of a field, if the form has it.
    pub fn kind_of(&self, wanted: &str) -> Option<&Kind> {
        let details = self.details.iter().flat_map(|detail| &detail.elements);
        self.subject
            .iter()
            .chain(details)
            .find_map(|element| match element {
                Element::Value { field, kind } if *field == wanted => Some(kind),
                _ => None,
            })
    }

    /// Whether the form has a field or flag of that name.
    pub fn has(&self, wanted: &str) -> bool {
        self.kind_of(wanted).is_some() || self.details.iter().any(|detail| detail.flag == Some(wanted))
    }
}

/// A verb with its compiled forms.
#[derive(Debug)]
pub struct Entry {
    /// Its place in the table.
    pub verb: &'static Verb,
    /// Where it belongs.
    pub topic: Topic,
    /// Its forms, compiled.
    pub shapes: Vec<Shape>,
}

/// The compiled table, in the order of its words.
pub struct Table {
    entries: Vec<Entry>,
    reserved: BTreeSet<&'static str>,
}

/// The table of this version of the language.
pub fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(Table::compile);
    &TABLE
}

impl Table {
    fn compile() -> Self {
        let mut entries: Vec<Entry> = crate::verbs()
            .flat_map(|(topic, verbs)| verbs.iter().map(move |verb| (topic, verb)))
            .map(|(topic, verb)| Entry {
                verb,
                topic,
                shapes: verb.forms.iter().map(Shape::new).collect(),
            })
            .collect();
        entries.sort_by_key(|entry| entry.verb.word);
        let reserved = entries
            .iter()
            .flat_map(reserved_words)
            .chain(FIXED_WORDS.iter().copied())
            .chain(entries.iter().map(|entry| entry.verb.word))
            .filter(|word| !FREE_WORDS.contains(word))
            .collect();
        Self { entries, reserved }
    }

    /// A verb by its word.
    pub fn verb(&self, word: &str) -> Option<&Entry> {
        let at = self
            .entries
            .binary_search_by(|entry| entry.verb.word.cmp(word))
            .ok()?;
        self.entries.get(at)
    }

    /// All verbs, by word.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The verbs of one topic, in the order in which its `facts.rs` declares them.
    pub fn of(&self, topic: Topic) -> impl Iterator<Item = &Entry> {
        crate::verbs()
            .filter(move |(of, _)| *of == topic)
            .flat_map(|(_, verbs)| verbs)
            .filter_map(|verb| self.verb(verb.word))
    }
}

/// Words with a fixed meaning that no pattern shows.
const FIXED_WORDS: &[&str] = &[
    "and",
    "to",
    "bar",
    "bars",
    "of",
    "anyway",
    "correct",
    "withdraw",
    "settle",
    "because",
    "day",
    "at",
    "today",
    "yesterday",
    "last",
];

/// Words that came into the language when books had been written already. They mean something only where the
/// table has them and stay free as names, so that every older line reads and prints as it did.
const FREE_WORDS: &[&str] = &[
    "before",
    "smoke",
    "handled",
    "flight",
    "jot",
    "timber",
    "sawn",
    "nominal",
    "green",
    "polygon",
    "corners",
    "bar-length",
    "bar-thickness",
    "guide",
    "allowance",
    "spacers",
    "followers",
    "slots",
    "holes",
    "side",
    "end",
    "ends",
    "wall",
    "cover",
    "base",
    "pane",
    "height",
    "leg",
    "overhang",
    "held",
    "bad",
];

fn reserved_words(entry: &Entry) -> Vec<&'static str> {
    let shapes = entry.shapes.iter();
    let elements = shapes.flat_map(|shape| {
        shape
            .subject
            .iter()
            .chain(shape.details.iter().flat_map(|d| &d.elements))
    });
    elements
        .flat_map(|element| match element {
            Element::Word(words) => words.clone(),
            Element::Value { .. } => Vec::new(),
        })
        .collect()
}

/// Whether the language gives a word a meaning of its own, so that it cannot be a name.
pub fn is_reserved(word: &str) -> bool {
    table().reserved.contains(word)
}

fn detail(pattern: &'static str) -> Detail {
    let (required, pattern) = strip(pattern, '!');
    let (repeats, pattern) = strip(pattern, '*');
    let elements = compile(pattern);
    let only_words = elements.iter().all(|element| matches!(element, Element::Word(_)));
    let first = elements.first().and_then(first_letter);
    Detail {
        elements,
        required,
        repeats,
        flag: only_words.then_some(pattern),
        first,
    }
}

/// The letter that all words which may stand there begin with.
fn first_letter(element: &Element) -> Option<u8> {
    let Element::Word(words) = element else {
        return None;
    };
    let mut letters = words.iter().filter_map(|word| word.bytes().next());
    let first = letters.next()?;
    letters.all(|letter| letter == first).then_some(first)
}

fn strip(pattern: &'static str, sign: char) -> (bool, &'static str) {
    pattern
        .strip_prefix(sign)
        .map_or((false, pattern), |rest| (true, rest))
}

fn compile(pattern: &'static str) -> Vec<Element> {
    pattern.split_ascii_whitespace().map(element).collect()
}

fn element(piece: &'static str) -> Element {
    let Some(inner) = piece.strip_prefix('{').and_then(|rest| rest.strip_suffix('}')) else {
        return Element::Word(piece.split('|').collect());
    };
    let (field, kind) = inner
        .split_once(':')
        .expect("BUG: a value in the table of verbs is {field:kind}");
    Element::Value {
        field,
        kind: kind_named(kind),
    }
}

fn kind_named(kind: &'static str) -> Kind {
    let (name, known) = match kind.as_bytes().last() {
        Some(b'+') => (&kind[..kind.len() - 1], Known::Now),
        Some(b'?') => (&kind[..kind.len() - 1], Known::Either),
        _ => (kind, Known::Before),
    };
    let of = |what| Kind::Name(what, known);
    match name {
        "yard" => of(What::Yard),
        "pattern" => of(What::Pattern),
        "hive" => of(What::Hive),
        "colony" => of(What::Colony),
        "tag" => of(What::Tag),
        "container" => of(What::Container),
        "lot" => of(What::Lot),
        "recipe" => of(What::Recipe),
        "person" => of(What::Person),
        "store" => of(What::Store),
        "device" => of(What::Device),
        "ingredient" => of(What::Ingredient),
        "product" => of(What::Product),
        "text" => Kind::Text,
        "count" => Kind::Count,
        "number" => Kind::Number,
        "mass" => Kind::Mass,
        "length" => Kind::Length,
        "area" => Kind::Area,
        "volume" => Kind::Volume,
        "amount" => Kind::Amount,
        "temperature" => Kind::Temperature,
        "percent" => Kind::Percent,
        "share" => Kind::Share,
        "money" => Kind::Money,
        "duration" => Kind::Duration,
        "day" => Kind::Day,
        "lengths" => Kind::Lengths,
        "bars" => Kind::Bars,
        "goods" => Kind::Goods,
        words => Kind::Word(words.split('|').collect()),
    }
}
