//! A card to take down by hand what is seen, with what was known last printed beside each box.

/// A card of one box of bars: a header, a row for each bar, a foot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Card {
    /// What it is a card of, such as the hive's name; empty for a blank one.
    pub title: String,
    /// The day of what was known last; empty for a blank one.
    pub day: String,
    /// A short code of what it is a card of and the day; empty for a blank one.
    pub code: String,
    /// What is known of it, a line each.
    pub known: Vec<String>,
    /// What is written below the rows, a group for each colony and one for what is asked of all of them.
    pub asked: Vec<Asked>,
    /// The columns between the ticks and the words.
    pub columns: Vec<CardColumn>,
    /// What is ticked where nothing has changed; empty where nothing is known that could be so.
    pub tick: String,
    /// The heading of the words at the end of a row.
    pub words: String,
    /// The rows, in order.
    pub rows: Vec<CardRow>,
    /// How it is filled in, a sentence each; together they fit into a line, which stands on every sheet.
    pub foot: Vec<String>,
    /// Dangers to people or bees, a sentence each.
    pub cautions: Vec<String>,
}

/// What is asked of the whole, in one group.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Of what; empty where there is only one.
    pub of: String,
    /// The fields, in order.
    pub fields: Vec<AskedField>,
}

/// What is asked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AskedField {
    /// By which number it is told, from 0: a group need not have all of them.
    pub number: usize,
    /// Its heading.
    pub heading: String,
    /// The words to tick; without words there is room to write.
    pub words: Vec<String>,
    /// Whether the room is a whole line.
    pub line: bool,
}

/// A column of boxes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardColumn {
    /// Its heading.
    pub heading: String,
    /// What stands above the headings of this column and of its neighbours with the same words.
    pub group: String,
    /// How wide its box is.
    pub width: BoxWidth,
    /// Whether what was known last is printed beside the box.
    pub last: bool,
}

/// How wide a box is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BoxWidth {
    /// For one figure, or two.
    #[default]
    Figure,
    /// For a few letters.
    Letters,
}

/// A row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardRow {
    /// Its number.
    pub place: u16,
    /// What is marked on the thing itself.
    pub tag: String,
    /// What begins with it, such as another colony; empty where nothing does.
    pub begins: String,
    /// Whether it can be ticked as being as it was.
    pub known: bool,
    /// What was known last, for each column; empty where nothing was.
    pub last: Vec<String>,
    /// What was known last in words.
    pub words: String,
    /// A board stands before it.
    pub board: bool,
}
