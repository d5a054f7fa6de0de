//! An entry: one note in its sealed envelope.

use crate::{Device, Digest, FarmId, Handle, Head, Hour, Salt, wire};
use jiff::civil::Date;
use smol_str::SmolStr;
use uuid::Uuid;

/// What an entry does to the books.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// Something happened.
    Note,
    /// An earlier entry was wrong; this note is what it should have said.
    Correct {
        /// The entry that was wrong: a note, or a correction of one.
        of: Digest,
    },
    /// An earlier entry should not have been written; the note may say why.
    Withdraw {
        /// The entry that goes: a note with all its corrections, or one act alone.
        of: Digest,
    },
    /// The keeper has looked at these entries and decided.
    Settle {
        /// What was looked at.
        of: Vec<Digest>,
        /// Whether this note stands in place of them; else they stay as they are, and only the
        /// complaints about them are laid to rest.
        replaces: bool,
    },
}

/// Everything about a note but its words. Its bytes (see [`wire`]) are what is hashed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Envelope {
    /// A UUIDv7. Carries no meaning and orders nothing.
    pub id: Uuid,
    /// Whose books.
    pub farm: FarmId,
    /// Who wrote it.
    pub device: Device,
    /// Its place in the device's chain, from 1.
    pub number: u64,
    /// The entry before it in the chain.
    pub previous: Option<Digest>,
    /// Heads of other chains that the device had come to know since its previous entry, sorted by
    /// device, then digest.
    pub seen: Vec<Head>,
    /// One more than the highest order seen (a Lamport clock).
    pub order: u64,
    /// The day it happened.
    pub day: Date,
    /// The hour, where one was given.
    pub hour: Option<Hour>,
    /// When it was written, in milliseconds since 1970. For audit only; orders nothing.
    pub written_ms: i64,
    /// Who wrote it: an id of the address book, or empty.
    pub by: SmolStr,
    /// What it came from, so that importing twice writes once.
    pub origin: SmolStr,
    /// The version of the note language it is written in.
    pub grammar: u16,
    /// What it does to the books.
    pub act: Act,
    /// The fingerprint of salt and note.
    pub commitment: Digest,
}

/// A sealed envelope and, unless they were erased, its note and salt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// All but the words.
    pub envelope: Envelope,
    /// The fingerprint of the envelope.
    pub digest: Digest,
    /// Gone when the note was blanked.
    pub salt: Option<Salt>,
    /// The words; `None` when they were blanked.
    pub note: Option<Box<str>>,
}

/// An entry as a store keeps it, not yet looked into.
///
/// The key is handed out even if nothing else can be made sense of, so that nothing is dropped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The device, as the key says.
    pub device: SmolStr,
    /// The number, as the key says.
    pub number: u64,
    /// The digest, as the key says.
    pub digest: Digest,
    /// The canonical bytes.
    pub envelope: Vec<u8>,
    /// The salt.
    pub salt: Option<Salt>,
    /// The note, which may not even be text.
    pub note: Option<Box<[u8]>>,
}

/// Why some bytes are not the entry they claim to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Broken {
    /// The bytes do not begin like an envelope.
    #[error("not an envelope")]
    NotAnEnvelope,
    /// Written by a newer program; kept, but not understood.
    #[error("envelope format {0} is not known to this version")]
    Undecodable(u8),
    /// The bytes end too early.
    #[error("the envelope ends too early")]
    CutShort,
    /// Bytes are left over.
    #[error("the envelope is followed by {0} bytes too many")]
    Trailing(usize),
    /// A field holds something it cannot hold.
    #[error("the {0} in the envelope makes no sense")]
    Senseless(&'static str),
    /// The envelope was changed, or the digest was.
    #[error("the envelope does not match its digest")]
    Digest,
    /// The note or the salt was changed.
    #[error("the note does not match its envelope")]
    Note,
    /// A note without its salt, or a salt without its note.
    #[error("only one of note and salt is left")]
    HalfBlanked,
    /// The key it was kept under is not its own.
    #[error("kept under the name of another entry")]
    Key,
}

impl Act {
    /// The entries it is about.
    #[must_use]
    pub fn names(&self) -> &[Digest] {
        match self {
            Self::Note => &[],
            Self::Correct { of } | Self::Withdraw { of } => std::slice::from_ref(of),
            Self::Settle { of, .. } => of,
        }
    }
}

impl Entry {
    /// Reads and verifies what a store handed out.
    ///
    /// # Errors
    /// Gives the row back untouched, with the reason, when it is not a whole entry.
    pub fn from_row(row: Row) -> Result<Self, (Broken, Box<Row>)> {
        match read(&row) {
            Err(broken) => Err((broken, Box::new(row))),
            Ok(envelope) => {
                let note = row
                    .note
                    .map(|note| String::from_utf8(note.into_vec()).map(String::into_boxed_str));
                let note = note.transpose().expect("BUG: the text of the row was checked");
                Ok(Self {
                    envelope,
                    digest: row.digest,
                    salt: row.salt,
                    note,
                })
            }
        }
    }

    /// Takes the entry apart for a store.
    #[must_use]
    pub fn to_row(&self) -> Row {
        Row {
            device: SmolStr::new(self.envelope.device.as_str()),
            number: self.envelope.number,
            digest: self.digest,
            envelope: wire::encode(&self.envelope),
            salt: self.salt,
            note: self.note.as_ref().map(|note| note.as_bytes().into()),
        }
    }

    /// Checks that neither envelope nor note was changed since it was sealed.
    ///
    /// # Errors
    /// Says what does not match.
    pub fn verify(&self) -> Result<(), Broken> {
        if Digest::of(&wire::encode(&self.envelope)) != self.digest {
            return Err(Broken::Digest);
        }
        check_note(
            &self.envelope,
            self.salt.as_ref(),
            self.note.as_ref().map(|note| note.as_bytes()),
        )
    }

    /// Takes the words out, for ever. The chain stays whole: it is hashed over the commitment only.
    pub fn blank(&mut self) {
        self.note = None;
        self.salt = None;
    }

    /// Its short name.
    #[must_use]
    pub fn handle(&self) -> Handle {
        Handle {
            device: self.envelope.device.clone(),
            number: self.envelope.number,
        }
    }

    /// How it is named in the `seen` of others.
    #[must_use]
    pub fn head(&self) -> Head {
        Head {
            device: self.envelope.device.clone(),
            number: self.envelope.number,
            digest: self.digest,
        }
    }
}

fn read(row: &Row) -> Result<Envelope, Broken> {
    let envelope = wire::decode(&row.envelope)?;
    if Digest::of(&row.envelope) != row.digest {
        return Err(Broken::Digest);
    }
    if envelope.device.as_str() != row.device || envelope.number != row.number {
        return Err(Broken::Key);
    }
    check_note(&envelope, row.salt.as_ref(), row.note.as_deref())?;
    Ok(envelope)
}

fn check_note(envelope: &Envelope, salt: Option<&Salt>, note: Option<&[u8]>) -> Result<(), Broken> {
    match (salt, note) {
        (None, None) => Ok(()),
        (Some(salt), Some(note)) => {
            let whole =
                Digest::commitment(salt, note) == envelope.commitment && std::str::from_utf8(note).is_ok();
            if whole { Ok(()) } else { Err(Broken::Note) }
        }
        (Some(_), None) | (None, Some(_)) => Err(Broken::HalfBlanked),
    }
}
