//! The C side: SQLite's tables of functions, each a thin step to the safe code.
//!
//! Every `unsafe` here rests on the same three promises of SQLite: a pointer it hands out is good
//! for the length of the call, a `sqlite3_file` is as large as `szOsFile` asked for, and no call is
//! made on a file after `xClose` or before `xOpen` succeeded.

use crate::disk::{Refused, State, Step, lock};
use crate::locks::{Level, SharedHold};
use rusqlite::ffi::{self, sqlite3_file, sqlite3_int64, sqlite3_vfs};
use std::ffi::{CStr, CString, c_char, c_int, c_void};
use std::ptr;
use std::sync::{Arc, Mutex, atomic};

type Shared = Arc<Mutex<State>>;

/// An open file, as SQLite holds it: its own head, then ours.
#[repr(C)]
struct Handle {
    head: sqlite3_file,
    open: *mut Open,
}

/// What we remember of an open file.
struct Open {
    state: Shared,
    inode: u64,
    generation: u64,
    level: Level,
    shared: SharedHold,
}

static METHODS: ffi::sqlite3_io_methods = ffi::sqlite3_io_methods {
    iVersion: 2,
    xClose: Some(close),
    xRead: Some(read),
    xWrite: Some(write),
    xTruncate: Some(truncate),
    xSync: Some(sync),
    xFileSize: Some(file_size),
    xLock: Some(raise),
    xUnlock: Some(lower),
    xCheckReservedLock: Some(check_reserved),
    xFileControl: Some(control),
    xSectorSize: Some(sector_size),
    xDeviceCharacteristics: Some(characteristics),
    xShmMap: Some(shm_map),
    xShmLock: Some(shm_lock),
    xShmBarrier: Some(shm_barrier),
    xShmUnmap: Some(shm_unmap),
    xFetch: None,
    xUnfetch: None,
};

/// Makes a disk known to SQLite, for good.
pub(crate) fn register(name: &str, state: Shared) {
    let name = CString::new(name).expect("BUG: a name with a zero in it");
    // SAFETY: finds the system's own file system; it is there since SQLite was built with it.
    let own = unsafe { &*ffi::sqlite3_vfs_find(ptr::null()) };
    let vfs = sqlite3_vfs {
        iVersion: 2,
        szOsFile: c_int::try_from(size_of::<Handle>()).expect("BUG: a small structure"),
        mxPathname: 512,
        pNext: ptr::null_mut(),
        zName: name.into_raw(),
        pAppData: Box::into_raw(Box::new(state)).cast(),
        xOpen: Some(open),
        xDelete: Some(delete),
        xAccess: Some(access),
        xFullPathname: Some(full_pathname),
        xDlOpen: None,
        xDlError: None,
        xDlSym: None,
        xDlClose: None,
        xRandomness: Some(randomness),
        xSleep: own.xSleep,
        xCurrentTime: own.xCurrentTime,
        xGetLastError: None,
        xCurrentTimeInt64: own.xCurrentTimeInt64,
        xSetSystemCall: None,
        xGetSystemCall: None,
        xNextSystemCall: None,
    };
    // SAFETY: the structure and all it points to live for ever.
    let taken = unsafe { ffi::sqlite3_vfs_register(Box::into_raw(Box::new(vfs)), 0) };
    assert_eq!(taken, ffi::SQLITE_OK, "sqlite takes the disk");
}

/// Makes SQLite's own random numbers, with which it marks its logs, begin anew.
pub(crate) fn seed_sqlite(seed: u64) {
    // Nought would mean real randomness.
    let seed = c_int::try_from(seed % 0x7FFF_FFFE).unwrap_or(0) + 1;
    let nobody: *mut ffi::sqlite3 = ptr::null_mut();
    // SAFETY: this control takes a number and a connection or null.
    unsafe { ffi::sqlite3_test_control(ffi::SQLITE_TESTCTRL_PRNG_SEED, seed, nobody) };
}

impl Open {
    /// Does something with the file, unless the power has failed since it was opened.
    fn with<T>(&mut self, work: impl FnOnce(&mut State, &mut Self) -> Result<T, c_int>) -> Result<T, c_int> {
        let state = Arc::clone(&self.state);
        let mut state = lock(&state);
        if state.is_dead() || state.generation != self.generation {
            return Err(ffi::SQLITE_IOERR);
        }
        work(&mut state, self)
    }

    /// The same for a call that changes the disk.
    fn change(&mut self, step: Step, failure: c_int, work: impl FnOnce(&mut State, u64)) -> c_int {
        let inode = self.inode;
        done(self.with(|state, _| {
            state.pass(step).map_err(|refused| code(refused, failure))?;
            work(state, inode);
            if state.is_dead() { Err(failure) } else { Ok(()) }
        }))
    }

    fn let_go(&mut self) {
        let _ = self.with(|state, open| {
            let file = state.file(open.inode);
            file.shared.leave(&mut open.shared);
            file.locks.lower(&mut open.level, Level::None);
            Ok(())
        });
        lock(&self.state).open -= 1;
    }
}

const fn code(refused: Refused, failure: c_int) -> c_int {
    match refused {
        Refused::Dead | Refused::Sync => failure,
        Refused::Full => ffi::SQLITE_FULL,
        Refused::ReadOnly => ffi::SQLITE_READONLY,
    }
}

fn done(result: Result<(), c_int>) -> c_int {
    result.err().unwrap_or(ffi::SQLITE_OK)
}

fn granted(granted: bool) -> Result<(), c_int> {
    if granted { Ok(()) } else { Err(ffi::SQLITE_BUSY) }
}

fn size(number: impl TryInto<usize>) -> usize {
    number.try_into().unwrap_or(0)
}

/// # Safety
/// `vfs` is one that `register` made.
unsafe fn state_of<'a>(vfs: *mut sqlite3_vfs) -> &'a Shared {
    // SAFETY: its data is a `Shared` that lives for ever.
    unsafe { &*(*vfs).pAppData.cast::<Shared>() }
}

/// # Safety
/// `file` was opened by `open` and not closed, and nobody else uses it: a connection makes one call
/// at a time.
unsafe fn opened<'a>(file: *mut sqlite3_file) -> &'a mut Open {
    // SAFETY: such a file is a `Handle`, and its `open` came from a box.
    unsafe { &mut *(*file.cast::<Handle>()).open }
}

/// # Safety
/// `name` is null or a C string.
unsafe fn text<'a>(name: *const c_char) -> &'a str {
    if name.is_null() {
        return "";
    }
    // SAFETY: as the caller says.
    unsafe { CStr::from_ptr(name) }.to_str().unwrap_or("")
}

unsafe extern "C" fn open(
    vfs: *mut sqlite3_vfs,
    name: ffi::sqlite3_filename,
    file: *mut sqlite3_file,
    flags: c_int,
    out_flags: *mut c_int,
) -> c_int {
    let handle = file.cast::<Handle>();
    // SAFETY: `file` has room for a `Handle`; without methods SQLite will not close it.
    unsafe { (*handle).head.pMethods = ptr::null() };
    // SAFETY: see the head of this file.
    let (state, name) = unsafe { (state_of(vfs), text(name)) };
    let shared = Arc::clone(state);
    let mut state = lock(state);
    let inode = match find_or_make(&mut state, name, flags) {
        Ok(inode) => inode,
        Err(code) => return code,
    };
    let read_only = state.is_read_only() && !name.is_empty();
    state.open += 1;
    let open = Open {
        state: shared,
        inode,
        generation: state.generation,
        level: Level::None,
        shared: SharedHold::default(),
    };
    // SAFETY: as above; `out_flags` is null or good.
    unsafe {
        (*handle).open = Box::into_raw(Box::new(open));
        (*handle).head.pMethods = &raw const METHODS;
        if !out_flags.is_null() {
            let way = if read_only {
                ffi::SQLITE_OPEN_READONLY
            } else {
                ffi::SQLITE_OPEN_READWRITE
            };
            *out_flags = flags & !(ffi::SQLITE_OPEN_READONLY | ffi::SQLITE_OPEN_READWRITE) | way;
        }
    }
    ffi::SQLITE_OK
}

fn find_or_make(state: &mut State, name: &str, flags: c_int) -> Result<u64, c_int> {
    if state.is_dead() {
        return Err(ffi::SQLITE_CANTOPEN);
    }
    match state.find(name) {
        Some(inode) => Ok(inode),
        None if name.is_empty() => Ok(state.make(name)),
        None if flags & ffi::SQLITE_OPEN_CREATE == 0 => Err(ffi::SQLITE_CANTOPEN),
        None => {
            state
                .pass(Step::Other)
                .map_err(|refused| code(refused, ffi::SQLITE_CANTOPEN))?;
            Ok(state.make(name))
        }
    }
}

unsafe extern "C" fn delete(vfs: *mut sqlite3_vfs, name: *const c_char, sync_folder: c_int) -> c_int {
    // SAFETY: see the head of this file.
    let (state, name) = unsafe { (state_of(vfs), text(name)) };
    let mut state = lock(state);
    if state.is_dead() {
        return ffi::SQLITE_IOERR_DELETE;
    }
    if state.find(name).is_none() {
        return ffi::SQLITE_IOERR_DELETE_NOENT;
    }
    let passed = state
        .pass(Step::Other)
        .map_err(|refused| code(refused, ffi::SQLITE_IOERR_DELETE));
    done(passed.map(|()| state.delete(name, sync_folder != 0)))
}

unsafe extern "C" fn access(
    vfs: *mut sqlite3_vfs,
    name: *const c_char,
    flags: c_int,
    out: *mut c_int,
) -> c_int {
    // SAFETY: see the head of this file.
    let (state, name) = unsafe { (state_of(vfs), text(name)) };
    let state = lock(state);
    if state.is_dead() {
        return ffi::SQLITE_IOERR_ACCESS;
    }
    let may = state.find(name).is_some() && !(flags == ffi::SQLITE_ACCESS_READWRITE && state.is_read_only());
    // SAFETY: see the head of this file.
    unsafe { *out = c_int::from(may) };
    ffi::SQLITE_OK
}

unsafe extern "C" fn full_pathname(
    _: *mut sqlite3_vfs,
    name: *const c_char,
    room: c_int,
    out: *mut c_char,
) -> c_int {
    // SAFETY: see the head of this file.
    let bytes = unsafe { CStr::from_ptr(name) }.to_bytes_with_nul();
    if bytes.len() > size(room) {
        return ffi::SQLITE_CANTOPEN;
    }
    // SAFETY: `out` has `room`, which was just compared.
    unsafe { ptr::copy_nonoverlapping(bytes.as_ptr().cast(), out, bytes.len()) };
    ffi::SQLITE_OK
}

unsafe extern "C" fn randomness(vfs: *mut sqlite3_vfs, count: c_int, out: *mut c_char) -> c_int {
    // SAFETY: see the head of this file.
    let (state, bytes) = unsafe {
        (
            state_of(vfs),
            std::slice::from_raw_parts_mut(out.cast::<u8>(), size(count)),
        )
    };
    let mut state = lock(state);
    for byte in bytes {
        *byte = state.rng.next().to_be_bytes()[0];
    }
    count
}

unsafe extern "C" fn close(file: *mut sqlite3_file) -> c_int {
    // SAFETY: `open` came from a box, and SQLite does not use the file again.
    let mut open = unsafe { Box::from_raw((*file.cast::<Handle>()).open) };
    open.let_go();
    ffi::SQLITE_OK
}

unsafe extern "C" fn read(
    file: *mut sqlite3_file,
    out: *mut c_void,
    count: c_int,
    offset: sqlite3_int64,
) -> c_int {
    // SAFETY: see the head of this file.
    let (open, out) = unsafe {
        (
            opened(file),
            std::slice::from_raw_parts_mut(out.cast::<u8>(), size(count)),
        )
    };
    done(open.with(|state, open| {
        let live = &state.file(open.inode).live;
        let held = live.get(size(offset)..).unwrap_or_default();
        let length = held.len().min(out.len());
        out[..length].copy_from_slice(&held[..length]);
        out[length..].fill(0);
        if length == out.len() {
            Ok(())
        } else {
            Err(ffi::SQLITE_IOERR_SHORT_READ)
        }
    }))
}

unsafe extern "C" fn write(
    file: *mut sqlite3_file,
    from: *const c_void,
    count: c_int,
    offset: sqlite3_int64,
) -> c_int {
    // SAFETY: see the head of this file.
    let (open, bytes) = unsafe {
        (
            opened(file),
            std::slice::from_raw_parts(from.cast::<u8>(), size(count)),
        )
    };
    let at = size(offset);
    let result = open.change(Step::Write, ffi::SQLITE_IOERR_WRITE, |state, inode| {
        state.file(inode).write(at, bytes);
    });
    if result == ffi::SQLITE_FULL {
        let half = &bytes[..bytes.len() / 2];
        let _ = open.with(|state, open| {
            state.file(open.inode).write(at, half);
            Ok(())
        });
    }
    result
}

unsafe extern "C" fn truncate(file: *mut sqlite3_file, length: sqlite3_int64) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    open.change(Step::Other, ffi::SQLITE_IOERR_TRUNCATE, |state, inode| {
        state.file(inode).truncate(size(length));
    })
}

unsafe extern "C" fn sync(file: *mut sqlite3_file, _: c_int) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    open.change(Step::Sync, ffi::SQLITE_IOERR_FSYNC, |state, inode| {
        state.sync(inode);
    })
}

unsafe extern "C" fn file_size(file: *mut sqlite3_file, out: *mut sqlite3_int64) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    let length = open.with(|state, open| Ok(state.file(open.inode).live.len()));
    done(length.map(|length| {
        // SAFETY: see the head of this file.
        unsafe { *out = sqlite3_int64::try_from(length).unwrap_or(sqlite3_int64::MAX) };
    }))
}

unsafe extern "C" fn raise(file: *mut sqlite3_file, level: c_int) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    done(open.with(|state, open| {
        granted(
            state
                .file(open.inode)
                .locks
                .raise(&mut open.level, Level::from_c(level)),
        )
    }))
}

unsafe extern "C" fn lower(file: *mut sqlite3_file, level: c_int) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    done(open.with(|state, open| {
        state
            .file(open.inode)
            .locks
            .lower(&mut open.level, Level::from_c(level));
        Ok(())
    }))
}

unsafe extern "C" fn check_reserved(file: *mut sqlite3_file, out: *mut c_int) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    let reserved = open.with(|state, open| Ok(state.file(open.inode).locks.is_reserved()));
    done(reserved.map(|reserved| {
        // SAFETY: see the head of this file.
        unsafe { *out = c_int::from(reserved) };
    }))
}

unsafe extern "C" fn control(_: *mut sqlite3_file, _: c_int, _: *mut c_void) -> c_int {
    ffi::SQLITE_NOTFOUND
}

unsafe extern "C" fn sector_size(_: *mut sqlite3_file) -> c_int {
    c_int::try_from(crate::file::SECTOR).unwrap_or(512)
}

/// What the system's own file system says of itself: a write that is cut off changes no byte beside
/// it.
unsafe extern "C" fn characteristics(_: *mut sqlite3_file) -> c_int {
    ffi::SQLITE_IOCAP_POWERSAFE_OVERWRITE
}

unsafe extern "C" fn shm_map(
    file: *mut sqlite3_file,
    region: c_int,
    length: c_int,
    extend: c_int,
    out: *mut *mut c_void,
) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    let address = open.with(|state, open| {
        let shared = &mut state.file(open.inode).shared;
        Ok(shared.region(&mut open.shared, size(region), size(length), extend != 0))
    });
    done(address.map(|address| {
        // SAFETY: see the head of this file.
        unsafe { *out = address.map_or(ptr::null_mut(), <*mut u64>::cast) };
    }))
}

unsafe extern "C" fn shm_lock(file: *mut sqlite3_file, from: c_int, count: c_int, flags: c_int) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    let slots = size(from)..size(from) + size(count);
    done(open.with(|state, open| {
        let shared = &mut state.file(open.inode).shared;
        if flags & ffi::SQLITE_SHM_UNLOCK != 0 {
            shared.unlock(&mut open.shared, slots);
            return Ok(());
        }
        granted(shared.lock(&mut open.shared, slots, flags & ffi::SQLITE_SHM_EXCLUSIVE != 0))
    }))
}

unsafe extern "C" fn shm_barrier(file: *mut sqlite3_file) {
    atomic::fence(atomic::Ordering::SeqCst);
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    // Taking the lock orders this connection's writes before the next one's reads.
    drop(lock(&open.state));
}

unsafe extern "C" fn shm_unmap(file: *mut sqlite3_file, _: c_int) -> c_int {
    // SAFETY: see the head of this file.
    let open = unsafe { opened(file) };
    let _ = open.with(|state, open| {
        state.file(open.inode).shared.leave(&mut open.shared);
        Ok(())
    });
    ffi::SQLITE_OK
}
