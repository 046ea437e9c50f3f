//! Lists as tables: the same columns and rows on the screen and on paper.

/// One column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Its head.
    pub head: &'static str,
    /// Of the whole width, as a part of the sum of all shares.
    pub share: f64,
    /// Whether it holds numbers, which end one below the other.
    pub is_number: bool,
}

/// A column of words.
pub const fn words(head: &'static str, share: f64) -> Column {
    Column { head, share, is_number: false }
}

/// A column of numbers.
pub const fn numbers(head: &'static str, share: f64) -> Column {
    Column { head, share, is_number: true }
}

/// A table; every row has a cell for each column.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The columns, from left to right.
    pub columns: Vec<Column>,
    /// The rows, from top to bottom.
    pub rows: Vec<Vec<String>>,
}
