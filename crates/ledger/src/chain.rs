//! One device's entries, by number.

use crate::{Device, Head};
use std::collections::{BTreeMap, BTreeSet};

/// One device's entries by number; of a forked chain, several with one number.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    pub(crate) device: Device,
    /// Numbers with places, ascending: those that came in their order, as nearly all do.
    timely: Vec<(u64, u32)>,
    /// Those that came after a higher number.
    late: BTreeSet<(u64, u32)>,
    /// Per other device, by own number: how far an entry of this chain says that it had come to know it.
    heard: BTreeMap<Device, BTreeMap<u64, u64>>,
    /// Whether a number was used more than once.
    pub(crate) forked: bool,
}

impl Chain {
    pub(crate) fn new(device: Device) -> Self {
        Self {
            device,
            timely: Vec::new(),
            late: BTreeSet::new(),
            heard: BTreeMap::new(),
            forked: false,
        }
    }

    /// Numbers with places, in order.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (u64, usize)> {
        let mut timely = self.timely.iter().peekable();
        let mut late = self.late.iter().peekable();
        std::iter::from_fn(move || match (timely.peek(), late.peek()) {
            (Some(one), Some(other)) if other < one => late.next(),
            (Some(_), _) => timely.next(),
            (None, _) => late.next(),
        })
        .map(|&(number, place)| (number, place as usize))
    }

    /// The places of the entries with a number.
    pub(crate) fn at(&self, number: u64) -> impl Iterator<Item = usize> {
        let from = self.timely.partition_point(|&(held, _)| held < number);
        let timely = self.timely[from..]
            .iter()
            .take_while(move |(held, _)| *held == number);
        let late = self.late.range((number, 0)..=(number, u32::MAX));
        timely.chain(late).map(|&(_, place)| place as usize)
    }

    /// The last entry up to a number, with its own.
    pub(crate) fn at_or_before(&self, number: u64) -> Option<(u64, usize)> {
        let end = self.timely.partition_point(|&(held, _)| held <= number);
        let late = self.late.range(..=(number, u32::MAX)).next_back();
        let last = self.timely[..end].last().max(late)?;
        Some((last.0, last.1 as usize))
    }

    /// The last entry, with its number. The highest number is never late.
    pub(crate) fn last(&self) -> Option<(u64, usize)> {
        self.timely
            .last()
            .map(|&(number, place)| (number, place as usize))
    }

    pub(crate) fn insert(&mut self, number: u64, place: u32) {
        match self.timely.last() {
            Some(&(last, _)) if last >= number => drop(self.late.insert((number, place))),
            _ => self.timely.push((number, place)),
        }
    }

    /// Remembers that the entry with this number had come to know another chain up to a head.
    pub(crate) fn hear(&mut self, number: u64, head: &Head) {
        let heard = self.heard.entry(head.device.clone()).or_default();
        let reach = heard.entry(number).or_insert(0);
        *reach = head.number.max(*reach);
    }

    /// How far the entry with this number knew another chain, if it knew any of it.
    pub(crate) fn reach(&self, number: u64, device: &Device) -> Option<u64> {
        self.heard
            .get(device)?
            .range(..=number)
            .next_back()
            .map(|(_, reach)| *reach)
    }
}
