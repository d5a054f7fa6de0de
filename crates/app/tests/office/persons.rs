//! The address book, filled in by forms.

use app::forms::{self, PersonPressed};

use crate::fixture::Desk;
use crate::forms::{field, sent};

#[test]
fn persons_are_entered_changed_and_erased() {
    let mut desk = Desk::new();
    let enter = |desk: &mut Desk, pairs: &[(&str, &str)]| {
        forms::press_person(&mut desk.office, &sent(pairs)).expect("memory")
    };
    for (id, name, other, key) in [
        ("p 1", "Ann", "", "id"),
        ("nine", "Ann", "", "id"),
        ("into", "Ann", "", "id"),
        ("<b>", "Ann", "", "id"),
        ("p-1", "", "", "name"),
        ("p-1", "Ann", "no heading", "other"),
    ] {
        let PersonPressed::Refused(form) = enter(&mut desk, &[("id", id), ("name", name), ("other", other)])
        else {
            panic!("{id} {name} {other}");
        };
        assert!(field(&form, key).wrong.is_some(), "{id}");
        assert_eq!(field(&form, "id").value, id);
    }
    let all = [
        ("id", "p-1"),
        ("name", "Ann <Example>"),
        ("address", "1 Lane\r\nTown"),
        ("other", "telephone = 01 234\r\n"),
    ];
    assert!(matches!(enter(&mut desk, &all), PersonPressed::Entered(id) if id == "p-1"));
    let reader = desk.office.reader(None, jiff::civil::date(2026, 11, 25));
    let form = forms::person(&reader, &sent(&[("id", "p-1")]));
    assert_eq!(field(&form, "name").value, "Ann <Example>");
    assert_eq!(field(&form, "address").value, "1 Lane\nTown");
    assert_eq!(field(&form, "other").value, "telephone=01 234");
    let erase = |desk: &mut Desk, good: &str| {
        forms::erase_person(&mut desk.office, &sent(&[("id", "p-1"), ("good", good)])).expect("memory")
    };
    assert!(
        matches!(erase(&mut desk, ""), PersonPressed::Refused(form) if field(&form, "good").wrong.is_some())
    );
    assert!(matches!(erase(&mut desk, "yes"), PersonPressed::Erased(_)));
    assert!(
        matches!(erase(&mut desk, "yes"), PersonPressed::Refused(form) if field(&form, "id").wrong.is_some())
    );
}
