//! Licence expressions: `MIT OR Apache-2.0`, `(A OR B) AND C`, and the older `A/B`.

use std::collections::BTreeSet;

/// Whether the allowed licences are enough to use something under this expression.
///
/// `A WITH exception` counts as A, since an exception only grants more. An expression that cannot be
/// read is not satisfied.
pub(super) fn satisfied(expression: &str, allowed: &BTreeSet<&str>) -> bool {
    let spaced = expression
        .replace('(', " ( ")
        .replace(')', " ) ")
        .replace('/', " OR ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut reader = Reader {
        words: &words,
        allowed,
    };
    reader.either() == Some(true) && reader.words.is_empty()
}

struct Reader<'a> {
    words: &'a [&'a str],
    allowed: &'a BTreeSet<&'a str>,
}

impl<'a> Reader<'a> {
    fn either(&mut self) -> Option<bool> {
        let mut enough = self.both()?;
        while self.takes("OR") {
            enough |= self.both()?;
        }
        Some(enough)
    }

    fn both(&mut self) -> Option<bool> {
        let mut enough = self.one()?;
        while self.takes("AND") {
            enough &= self.one()?;
        }
        Some(enough)
    }

    fn one(&mut self) -> Option<bool> {
        if self.takes("(") {
            let enough = self.either()?;
            return self.takes(")").then_some(enough);
        }
        let licence = self.next()?;
        if self.takes("WITH") {
            self.next()?;
        }
        Some(self.allowed.contains(licence))
    }

    fn takes(&mut self, word: &str) -> bool {
        let there = self.words.first() == Some(&word);
        if there {
            self.words = &self.words[1..];
        }
        there
    }

    fn next(&mut self) -> Option<&'a str> {
        let (first, rest) = self.words.split_first()?;
        self.words = rest;
        Some(first)
    }
}
