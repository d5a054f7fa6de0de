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
    /// What is written below the rows, a group for each colony.
    pub asked: Vec<Asked>,
    /// The columns between the ticks and the words.
    pub columns: Vec<CardColumn>,
    /// What is ticked where nothing has changed.
    pub tick: String,
    /// The heading of the words at the end of a row.
    pub words: String,
    /// The rows, in order.
    pub rows: Vec<CardRow>,
    /// How it is filled in, a sentence each.
    pub foot: Vec<String>,
    /// Dangers to people or bees, a sentence each.
    pub cautions: Vec<String>,
}

/// What is asked of the whole, in one group.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Of what; empty where there is only one.
    pub of: String,
    /// A heading, and the words to tick; without words there is room to write.
    pub fields: Vec<(String, Vec<String>)>,
    /// The heading of the words behind all of them.
    pub words: String,
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
    /// What was known last, for each column; empty where nothing was.
    pub last: Vec<String>,
    /// What was known last in words.
    pub words: String,
    /// A board stands before it.
    pub board: bool,
}
