use crate::wire::{decode, encode};
use crate::{Act, Broken, Device, Digest, Envelope, FarmId, Head, Hour};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use uuid::Uuid;

/// The seed of every drawn test of the bytes.
const SEED: [u8; 32] = [11; 32];

fn runner(cases: u32) -> TestRunner {
    let config = ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &SEED))
}

fn digest() -> impl Strategy<Value = Digest> {
    any::<[u8; 32]>().prop_map(Digest::from_bytes)
}

fn device() -> impl Strategy<Value = Device> {
    "[A-Za-z]([A-Za-z0-9-]{0,22}[A-Za-z0-9])?".prop_map(|name| Device::new(&name).unwrap())
}

fn number() -> impl Strategy<Value = u64> {
    prop_oneof![1..50_u64, Just(i64::MAX.unsigned_abs())]
}

fn seen() -> impl Strategy<Value = Vec<Head>> {
    let head = (device(), number(), digest()).prop_map(|(device, number, digest)| Head {
        device,
        number,
        digest,
    });
    vec(head, 0..4).prop_map(|mut seen| {
        seen.sort_by(|a, b| (&a.device, a.digest).cmp(&(&b.device, b.digest)));
        seen
    })
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        Just(Act::Note),
        digest().prop_map(|of| Act::Correct { of }),
        digest().prop_map(|of| Act::Withdraw { of }),
        (vec(digest(), 0..4), any::<bool>()).prop_map(|(of, replaces)| Act::Settle { of, replaces }),
    ]
}

fn day() -> impl Strategy<Value = jiff::civil::Date> {
    (-9999..=9999_i16, 1..=12_i8, 1..=28_i8)
        .prop_map(|(year, month, day)| jiff::civil::date(year, month, day))
}

fn envelope() -> impl Strategy<Value = Envelope> {
    let chain = (
        any::<[u8; 16]>(),
        any::<[u8; 16]>(),
        device(),
        number(),
        proptest::option::of(digest()),
        seen(),
    );
    let time = (
        any::<u64>(),
        day(),
        proptest::option::of(0..1440_u16),
        any::<i64>(),
    );
    let rest = (".{0,12}", ".{0,40}", any::<u16>(), act(), digest());
    (chain, time, rest).prop_map(|(chain, time, rest)| Envelope {
        id: Uuid::from_bytes(chain.0),
        farm: FarmId::from_bytes(chain.1),
        device: chain.2,
        number: chain.3,
        previous: chain.4,
        seen: chain.5,
        order: time.0,
        day: time.1,
        hour: time.2.and_then(Hour::from_minutes),
        written_ms: time.3,
        by: rest.0.into(),
        origin: rest.1.into(),
        grammar: rest.2,
        act: rest.3,
        commitment: rest.4,
    })
}

#[test]
fn an_envelope_reads_as_it_was_written() {
    runner(2_000)
        .run(&envelope(), |envelope| {
            prop_assert_eq!(decode(&encode(&envelope)), Ok(envelope));
            Ok(())
        })
        .unwrap();
}

#[test]
fn whatever_is_read_is_written_back_byte_for_byte() {
    let change = (
        envelope(),
        vec((any::<prop::sample::Index>(), any::<u8>()), 0..4),
        0..8_usize,
    );
    runner(20_000)
        .run(&change, |(envelope, changes, cut)| {
            let mut bytes = encode(&envelope);
            for (at, byte) in changes {
                let at = at.index(bytes.len());
                bytes[at] = byte;
            }
            bytes.truncate(bytes.len() - cut.saturating_sub(4));
            if let Ok(read) = decode(&bytes) {
                prop_assert_eq!(encode(&read), bytes);
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn any_bytes_are_read_or_refused() {
    runner(20_000)
        .run(&vec(any::<u8>(), 0..300), |noise| {
            let mut bytes = b"CWE\x01".to_vec();
            bytes.extend(noise);
            if let Ok(read) = decode(&bytes) {
                prop_assert_eq!(encode(&read), bytes);
            }
            Ok(())
        })
        .unwrap();
}

/// The bytes of one envelope, written out by hand: if this fails, the format was changed.
#[test]
fn the_format_is_frozen() {
    let envelope = Envelope {
        id: Uuid::from_bytes([0x11; 16]),
        farm: FarmId::from_bytes([0x22; 16]),
        device: Device::new("phone").unwrap(),
        number: 2,
        previous: Some(Digest::from_bytes([0x33; 32])),
        seen: vec![Head {
            device: Device::new("pc").unwrap(),
            number: 7,
            digest: Digest::from_bytes([0x44; 32]),
        }],
        order: 9,
        day: jiff::civil::date(2026, 7, 19),
        hour: Hour::new(14, 20),
        written_ms: -1,
        by: "hr".into(),
        origin: "".into(),
        grammar: 1,
        act: Act::Settle {
            of: vec![Digest::from_bytes([0x55; 32])],
            replaces: true,
        },
        commitment: Digest::from_bytes([0x66; 32]),
    };
    let expected = [
        "43574501",
        &"11".repeat(16),
        &"22".repeat(16),
        "0570686f6e65",
        "0000000000000002",
        "01",
        &"33".repeat(32),
        "0001027063",
        "0000000000000007",
        &"44".repeat(32),
        "0000000000000009",
        "07ea0713",
        "035c",
        "ffffffffffffffff",
        "00026872",
        "0000",
        "0001",
        "040001",
        &"55".repeat(32),
        "01",
        &"66".repeat(32),
    ];
    let bytes = encode(&envelope);
    let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(hex, expected.concat());
    assert_eq!(decode(&bytes), Ok(envelope));
    assert_eq!(decode(&bytes[..bytes.len() - 1]), Err(Broken::CutShort));
    assert_eq!(decode(&[&bytes[..], b"!"].concat()), Err(Broken::Trailing(1)));
    assert_eq!(decode(b"CWE\x02anything"), Err(Broken::Undecodable(2)));
    assert_eq!(decode(b"anything"), Err(Broken::NotAnEnvelope));
}
