use crate::{Device, Digest, Handle, Hour, Misread};

#[test]
fn a_device_name_can_be_typed_anywhere() {
    for name in ["phone", "P", "old-phone-2", "abcdefghijklmnopqrstuvwx"] {
        assert_eq!(Device::new(name).unwrap().as_str(), name);
    }
    for name in [
        "",
        "2phone",
        "-phone",
        "phone-",
        "my phone",
        "tél",
        "abcdefghijklmnopqrstuvwxy",
        "a/1",
    ] {
        assert!(Device::new(name).is_err(), "{name:?}");
    }
}

#[test]
fn a_handle_reads_as_it_prints() {
    let handle: Handle = "phone/412".parse().unwrap();
    assert_eq!((handle.device.as_str(), handle.number), ("phone", 412));
    assert_eq!(handle.to_string(), "phone/412");
    for text in [
        "phone",
        "phone/",
        "phone/0",
        "phone/01",
        "phone/+1",
        "/1",
        "phone/1/2",
        "phone/99999999999999999999",
    ] {
        assert!(text.parse::<Handle>().is_err(), "{text:?}");
    }
}

#[test]
fn an_hour_reads_as_it_prints() {
    for minutes in 0..1440 {
        let hour = Hour::from_minutes(minutes).unwrap();
        assert_eq!(hour.to_string().parse(), Ok(hour));
    }
    assert_eq!(Hour::from_minutes(1440), None);
    for text in ["24:00", "12:60", "9:00", "09:0", "0900", "+9:00", ""] {
        assert!(text.parse::<Hour>().is_err(), "{text:?}");
    }
}

#[test]
fn a_digest_reads_as_it_prints() {
    let digest = Digest::of(b"a note");
    assert_eq!(Digest::from_hex(&digest.to_string()), Ok(digest));
    assert_eq!(Digest::from_hex(&digest.to_string().to_uppercase()), Ok(digest));
    assert_eq!(digest.short(), digest.to_string()[..8]);
    for text in ["", "00", &"g".repeat(64), &"é".repeat(32)] {
        assert_eq!(Digest::from_hex(text), Err(Misread));
    }
}
