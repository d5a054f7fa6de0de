//! Format 1.

use super::MAGIC;
use crate::{Act, Broken, Device, Digest, Envelope, FarmId, Head, Hour};
use jiff::civil::Date;
use smol_str::SmolStr;
use uuid::Uuid;

pub(super) const FORMAT: u8 = 1;

const NO_HOUR: u16 = 0xFFFF;
const NOTE: u8 = 1;
const CORRECT: u8 = 2;
const WITHDRAW: u8 = 3;
const SETTLE: u8 = 4;

pub(super) fn encode(envelope: &Envelope) -> Vec<u8> {
    let mut out = Vec::with_capacity(256);
    out.extend_from_slice(MAGIC);
    out.push(FORMAT);
    out.extend_from_slice(envelope.id.as_bytes());
    out.extend_from_slice(envelope.farm.0.as_bytes());
    put_device(&mut out, &envelope.device);
    out.extend_from_slice(&envelope.number.to_be_bytes());
    put_previous(&mut out, envelope.previous.as_ref());
    put_seen(&mut out, &envelope.seen);
    out.extend_from_slice(&envelope.order.to_be_bytes());
    put_day(&mut out, envelope.day);
    out.extend_from_slice(&envelope.hour.map_or(NO_HOUR, Hour::minutes).to_be_bytes());
    out.extend_from_slice(&envelope.written_ms.to_be_bytes());
    put_text(&mut out, &envelope.by);
    put_text(&mut out, &envelope.origin);
    out.extend_from_slice(&envelope.grammar.to_be_bytes());
    put_act(&mut out, &envelope.act);
    out.extend_from_slice(envelope.commitment.as_bytes());
    out
}

pub(super) fn decode(body: &[u8]) -> Result<Envelope, Broken> {
    let mut from = Reader { rest: body };
    let envelope = Envelope {
        id: Uuid::from_bytes(from.array()?),
        farm: FarmId(Uuid::from_bytes(from.array()?)),
        device: from.device()?,
        number: from.number()?,
        previous: from.previous()?,
        seen: from.seen()?,
        order: u64::from_be_bytes(from.array()?),
        day: from.day()?,
        hour: from.hour()?,
        written_ms: i64::from_be_bytes(from.array()?),
        by: from.text("name of the writer")?,
        origin: from.text("origin")?,
        grammar: from.u16()?,
        act: from.act()?,
        commitment: from.digest()?,
    };
    if from.rest.is_empty() {
        Ok(envelope)
    } else {
        Err(Broken::Trailing(from.rest.len()))
    }
}

fn put_device(out: &mut Vec<u8>, device: &Device) {
    let name = device.as_str().as_bytes();
    out.push(u8::try_from(name.len()).expect("BUG: a device name is at most 24 bytes"));
    out.extend_from_slice(name);
}

fn put_previous(out: &mut Vec<u8>, previous: Option<&Digest>) {
    out.push(u8::from(previous.is_some()));
    if let Some(digest) = previous {
        out.extend_from_slice(digest.as_bytes());
    }
}

fn put_seen(out: &mut Vec<u8>, seen: &[Head]) {
    put_count(out, seen.len());
    for head in seen {
        put_device(out, &head.device);
        out.extend_from_slice(&head.number.to_be_bytes());
        out.extend_from_slice(head.digest.as_bytes());
    }
}

fn put_day(out: &mut Vec<u8>, day: Date) {
    out.extend_from_slice(&day.year().to_be_bytes());
    out.extend_from_slice(&[day.month().unsigned_abs(), day.day().unsigned_abs()]);
}

fn put_text(out: &mut Vec<u8>, text: &str) {
    put_count(out, text.len());
    out.extend_from_slice(text.as_bytes());
}

fn put_act(out: &mut Vec<u8>, act: &Act) {
    match act {
        Act::Note => out.push(NOTE),
        Act::Correct { of } => {
            out.push(CORRECT);
            out.extend_from_slice(of.as_bytes());
        }
        Act::Withdraw { of } => {
            out.push(WITHDRAW);
            out.extend_from_slice(of.as_bytes());
        }
        Act::Settle { of, replaces } => {
            out.push(SETTLE);
            put_count(out, of.len());
            of.iter()
                .for_each(|digest| out.extend_from_slice(digest.as_bytes()));
            out.push(u8::from(*replaces));
        }
    }
}

fn put_count(out: &mut Vec<u8>, count: usize) {
    let count = u16::try_from(count).expect("BUG: more than 65535 of something in one envelope");
    out.extend_from_slice(&count.to_be_bytes());
}

struct Reader<'a> {
    rest: &'a [u8],
}

impl<'a> Reader<'a> {
    fn take(&mut self, count: usize) -> Result<&'a [u8], Broken> {
        let (taken, rest) = self.rest.split_at_checked(count).ok_or(Broken::CutShort)?;
        self.rest = rest;
        Ok(taken)
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], Broken> {
        let (taken, rest) = self.rest.split_first_chunk().ok_or(Broken::CutShort)?;
        self.rest = rest;
        Ok(*taken)
    }

    fn byte(&mut self) -> Result<u8, Broken> {
        self.array().map(|[byte]| byte)
    }

    fn u16(&mut self) -> Result<u16, Broken> {
        self.array().map(u16::from_be_bytes)
    }

    fn digest(&mut self) -> Result<Digest, Broken> {
        self.array().map(Digest::from_bytes)
    }

    /// A byte that can only say yes or no: anything else would not be written back the same.
    fn flag(&mut self, what: &'static str) -> Result<bool, Broken> {
        match self.byte()? {
            0 => Ok(false),
            1 => Ok(true),
            _ => Err(Broken::Senseless(what)),
        }
    }

    fn device(&mut self) -> Result<Device, Broken> {
        let length = self.byte()?;
        let name = std::str::from_utf8(self.take(length.into())?).map_err(|_| Broken::Senseless("device"))?;
        Device::new(name).map_err(|_| Broken::Senseless("device"))
    }

    fn number(&mut self) -> Result<u64, Broken> {
        let number = u64::from_be_bytes(self.array()?);
        // A store keeps numbers in signed columns; no chain comes near half of this.
        if (1..=i64::MAX.unsigned_abs()).contains(&number) {
            Ok(number)
        } else {
            Err(Broken::Senseless("number"))
        }
    }

    fn previous(&mut self) -> Result<Option<Digest>, Broken> {
        if self.flag("link")? {
            self.digest().map(Some)
        } else {
            Ok(None)
        }
    }

    fn seen(&mut self) -> Result<Vec<Head>, Broken> {
        let count = self.u16()?;
        let mut seen: Vec<Head> = Vec::new();
        for _ in 0..count {
            let head = Head {
                device: self.device()?,
                number: self.number()?,
                digest: self.digest()?,
            };
            let sorted = seen
                .last()
                .is_none_or(|last| (&last.device, last.digest) < (&head.device, head.digest));
            if !sorted {
                return Err(Broken::Senseless("list of heads"));
            }
            seen.push(head);
        }
        Ok(seen)
    }

    fn day(&mut self) -> Result<Date, Broken> {
        let year = i16::from_be_bytes(self.array()?);
        let [month, day] = self.array()?.map(|part: u8| i8::try_from(part).unwrap_or(0));
        Date::new(year, month, day).map_err(|_| Broken::Senseless("day"))
    }

    fn hour(&mut self) -> Result<Option<Hour>, Broken> {
        match self.u16()? {
            NO_HOUR => Ok(None),
            minutes => Hour::from_minutes(minutes)
                .map(Some)
                .ok_or(Broken::Senseless("hour")),
        }
    }

    fn text(&mut self, what: &'static str) -> Result<SmolStr, Broken> {
        let length = self.u16()?;
        let bytes = self.take(length.into())?;
        std::str::from_utf8(bytes)
            .map(SmolStr::new)
            .map_err(|_| Broken::Senseless(what))
    }

    fn act(&mut self) -> Result<Act, Broken> {
        match self.byte()? {
            NOTE => Ok(Act::Note),
            CORRECT => Ok(Act::Correct { of: self.digest()? }),
            WITHDRAW => Ok(Act::Withdraw { of: self.digest()? }),
            SETTLE => self.settle(),
            _ => Err(Broken::Senseless("act")),
        }
    }

    fn settle(&mut self) -> Result<Act, Broken> {
        let count = self.u16()?;
        let of = (0..count).map(|_| self.digest()).collect::<Result<_, _>>()?;
        Ok(Act::Settle {
            of,
            replaces: self.flag("settling")?,
        })
    }
}
