//! Where a link may lead.

/// The address, if a link may lead there: a path of these pages, a place on the page, another question to the
/// same page, or an encrypted page elsewhere.
///
/// Browsers pass over tabs and line ends within an address, and take `//host` and `/\host` for another host;
/// so neither is let through.
pub(crate) fn safe(to: &str) -> Option<&str> {
    let begins_well = match to.strip_prefix('/') {
        Some(rest) => !rest.starts_with('/'),
        None => to.starts_with(['#', '?']) || to.starts_with("https://"),
    };
    let odd = |c: char| c == '\\' || c.is_whitespace() || c.is_control();
    (begins_well && !to.contains(odd)).then_some(to)
}
