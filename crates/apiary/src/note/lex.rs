//! A line cut into words, numbers, quoted texts and signs, each with its place in the line.

/// What a piece of a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    /// Starts with a letter: `alder`, `pail-12`, `into`.
    Word,
    /// Starts with a digit, or with a minus before a digit: `4.6`, `2026-07-19`, `1-1/4`, `2h30`.
    Number,
    /// Between double quotes; the quotes belong to it.
    Text,
    /// A sign on its own: `,` `:` `%`.
    Sign,
    /// Anything the language has no use for.
    Stray,
}

/// A piece of a line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub(crate) sort: Sort,
    pub(crate) start: u32,
    pub(crate) end: u32,
    /// Where the letters begin that stand right behind a number (`4.6kg`, `2h30`); `end` if none do.
    pub(crate) letters: u32,
}

impl Token {
    pub(crate) fn of(self, line: &str) -> &str {
        &line[self.start as usize..self.end as usize]
    }

    /// The digits and signs of a number, without letters that stand right behind it.
    pub(crate) fn figures(self, line: &str) -> &str {
        &line[self.start as usize..self.letters as usize]
    }

    /// The letters right behind a number; empty if there are none.
    pub(crate) fn suffix(self, line: &str) -> &str {
        &line[self.letters as usize..self.end as usize]
    }

    pub(crate) fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// Cuts a line into tokens and tells where its remark begins, if it has one.
pub(crate) fn lex(line: &str, tokens: &mut Vec<Token>) -> Option<usize> {
    tokens.clear();
    let bytes = line.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let byte = bytes[at];
        if byte == b' ' || byte == b'\t' {
            at += 1;
            continue;
        }
        if byte == b'#' {
            return Some(at);
        }
        let token = token_at(line, at);
        at = token.end as usize;
        tokens.push(token);
    }
    None
}

fn token_at(line: &str, at: usize) -> Token {
    let bytes = line.as_bytes();
    let byte = bytes[at];
    let digit_follows = bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
    if byte.is_ascii_digit() || (byte == b'-' && digit_follows) {
        return number_at(line, at);
    }
    if byte == b'"' {
        let end = bytes[at + 1..]
            .iter()
            .position(|b| *b == b'"')
            .map(|n| at + n + 2);
        return token(
            if end.is_some() { Sort::Text } else { Sort::Stray },
            at,
            end.unwrap_or(bytes.len()),
        );
    }
    if matches!(byte, b',' | b':' | b'%') {
        return token(Sort::Sign, at, at + 1);
    }
    let end = word_end(line, at);
    if end > at {
        return token(Sort::Word, at, end);
    }
    let width = line[at..].chars().next().map_or(1, char::len_utf8);
    token(Sort::Stray, at, at + width)
}

fn token(sort: Sort, start: usize, end: usize) -> Token {
    Token {
        sort,
        start: start as u32,
        end: end as u32,
        letters: end as u32,
    }
}

fn number_at(line: &str, start: usize) -> Token {
    let bytes = line.as_bytes();
    let mut at = start + 1;
    while let Some(byte) = bytes.get(at) {
        let joins =
            matches!(byte, b'.' | b'/' | b':' | b'-') && bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
        if !byte.is_ascii_digit() && !joins {
            break;
        }
        at += 1;
    }
    let end = word_end(line, at);
    Token {
        sort: Sort::Number,
        start: start as u32,
        end: end as u32,
        letters: at as u32,
    }
}

/// Where a word that begins at `at` ends; `at` itself where no word begins.
fn word_end(line: &str, at: usize) -> usize {
    let bytes = line.as_bytes();
    let mut end = at;
    while let Some(&byte) = bytes.get(end) {
        if byte.is_ascii_alphabetic()
            || (end > at && (byte.is_ascii_digit() || byte == b'-' || byte == b'_' || byte == b'\''))
        {
            end += 1;
            continue;
        }
        if byte < 0x80 {
            break;
        }
        match line[end..].chars().next() {
            Some(letter)
                if letter.is_alphabetic() || letter == '°' || (end > at && letter.is_alphanumeric()) =>
            {
                end += letter.len_utf8();
            }
            _ => break,
        }
    }
    end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: &str, expected: &str) {
        let mut tokens = Vec::new();
        let remark = lex(line, &mut tokens);
        let mut said = tokens
            .iter()
            .map(|t| format!("{:?}({})", t.sort, t.of(line)))
            .collect::<Vec<_>>()
            .join(" ");
        if let Some(at) = remark {
            said.push_str(&format!(" remark({})", &line[at..]));
        }
        assert_eq!(said, expected);
    }

    #[test]
    fn a_line_falls_into_words_numbers_texts_and_signs() {
        check(
            "cut pail-12 4.6 kg",
            "Word(cut) Word(pail-12) Number(4.6) Word(kg)",
        );
        check(
            "2026-07-19 14:20 1-1/4 in",
            "Number(2026-07-19) Number(14:20) Number(1-1/4) Word(in)",
        );
        check(
            "1-4, 7 \"a # b\" # rest",
            "Number(1-4) Sign(,) Number(7) Text(\"a # b\") remark(# rest)",
        );
        check("at 52.1 -2.4", "Word(at) Number(52.1) Number(-2.4)");
        check("2h30 17.4 %", "Number(2h30) Number(17.4) Sign(%)");
    }

    #[test]
    fn what_the_language_has_no_use_for_is_kept_in_its_place() {
        check("a ; \u{1f41d}", "Word(a) Stray(;) Stray(\u{1f41d})");
        check("\"open", "Stray(\"open)");
    }
}
