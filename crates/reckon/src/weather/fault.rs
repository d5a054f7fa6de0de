//! What is wrong with a file of weather, by line and column.

use std::fmt;

/// So many faults of a file are told; behind them it is read no further.
pub const MOST_FAULTS: usize = 20;

/// What is wrong with one row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeatherFault {
    /// The line of the file, from 1.
    pub line: usize,
    /// The column's name; empty where the whole row is meant.
    pub column: String,
    /// What is wrong, and what would be accepted.
    pub wrong: String,
}

impl fmt::Display for WeatherFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.column.is_empty() {
            write!(f, "line {}: {}", self.line, self.wrong)
        } else {
            write!(f, "line {}, column {}: {}", self.line, self.column, self.wrong)
        }
    }
}

/// All that is wrong with a file, in the order of its lines.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WeatherFaults(pub Vec<WeatherFault>);

impl WeatherFaults {
    pub(super) fn one(line: usize, column: &str, wrong: impl Into<String>) -> Self {
        let mut faults = Self::default();
        faults.add(line, column, wrong);
        faults
    }

    pub(super) fn add(&mut self, line: usize, column: &str, wrong: impl Into<String>) {
        self.0.push(WeatherFault {
            line,
            column: column.to_owned(),
            wrong: wrong.into(),
        });
    }

    pub(super) fn is_full(&self) -> bool {
        self.0.len() >= MOST_FAULTS
    }

    /// What was read, unless something is wrong.
    pub(super) fn unless<T>(self, read: T) -> Result<T, Self> {
        if self.0.is_empty() { Ok(read) } else { Err(self) }
    }
}

impl fmt::Display for WeatherFaults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (idx, fault) in self.0.iter().enumerate() {
            if idx > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{fault}")?;
        }
        if self.is_full() {
            f.write_str("\nthere may be more: it was read no further")?;
        }
        Ok(())
    }
}

impl std::error::Error for WeatherFaults {}
