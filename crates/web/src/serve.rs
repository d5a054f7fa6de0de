//! The way from a port of this machine to the desk.

use std::collections::BTreeMap;
use std::future::Future;
use std::io;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, TcpListener};
use std::pin::pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpStream;
use tokio_rustls::TlsAcceptor;

use crate::router::{router, router_beyond};
use crate::{Desk, lan};

/// The port that is tried first.
pub const USUAL_PORT: u16 = 8436;

/// The port for paired phones. It is part of the address under which a phone keeps its page and what waits to be
/// sent, so no other is taken in its place.
pub const LAN_PORT: u16 = 8496;

/// How many connections from beyond this machine are held at once.
const MOST_BEYOND: usize = 256;

/// How many of them one address may hold: a browser opens six, and several phones may share an address.
const MOST_OF_ONE: usize = 32;

/// How long one of them is held, whatever it does: who takes answers in slowly or never lets go as well. What was
/// under way then is sent again by the phone, and written once.
const HELD_AT_MOST: Duration = Duration::from_secs(600);

/// How many ports above the usual one are tried where others use it.
const MORE_PORTS: u16 = 20;

/// How long a browser may take to say what it asks for. It also ends connections that stay silent.
const HEAD_WITHIN: Duration = Duration::from_secs(30);

/// How long answers under way may take when the program is to end.
const END_WITHIN: Duration = Duration::from_secs(3);

/// How long to wait where no connection can be taken, such as when all file handles are in use.
const PAUSE: Duration = Duration::from_millis(100);

/// Doors that nobody answers at yet; whoever comes waits.
#[derive(Debug)]
pub struct Doors {
    /// Their port.
    pub port: u16,
    listeners: Vec<TcpListener>,
    /// Those that lead out of this machine.
    beyond: Vec<TcpListener>,
}

impl Doors {
    /// Opens doors on this machine alone, at this port, or at the usual one or one of the next.
    ///
    /// # Errors
    /// No such port is free.
    pub fn open(port: Option<u16>) -> io::Result<Self> {
        match port {
            Some(port) => Self::at(port),
            None => {
                let more = (1..=MORE_PORTS).map(|more| Self::at(USUAL_PORT + more));
                more.fold(Self::at(USUAL_PORT), |doors, next| doors.or(next))
            }
        }
    }

    fn at(port: u16) -> io::Result<Self> {
        let first = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let port = first.local_addr()?.port();
        // Not every machine has the newer protocol, and the address that is told is of the older one.
        let second = TcpListener::bind((Ipv6Addr::LOCALHOST, port)).ok();
        Ok(Self {
            port,
            listeners: [Some(first), second].into_iter().flatten().collect(),
            beyond: Vec::new(),
        })
    }

    /// Opens doors that lead out of this machine: at one of its addresses, or at all of them. Gives their port.
    ///
    /// # Errors
    /// The port is taken, or the address is not of this machine.
    pub fn open_beyond(&mut self, on: Option<IpAddr>, port: u16) -> io::Result<u16> {
        if let Some(on) = on {
            self.beyond = vec![TcpListener::bind((on, port))?];
        } else {
            // On most systems the newer kind takes in the older one as well; where it does not, the second is there.
            let newer = TcpListener::bind((Ipv6Addr::UNSPECIFIED, port));
            let port = newer
                .as_ref()
                .map_or(port, |newer| newer.local_addr().map_or(port, |at| at.port()));
            let older = TcpListener::bind((Ipv4Addr::UNSPECIFIED, port));
            self.beyond = match (newer, older) {
                (Err(_), Err(error)) => return Err(error),
                (newer, older) => [newer.ok(), older.ok()].into_iter().flatten().collect(),
            };
        }
        Ok(self.beyond[0].local_addr()?.port())
    }

    /// The address to be typed into a browser.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }
}

/// Answers at these doors until the program is told to end; what is being written then is still written.
///
/// # Errors
/// The system gives no threads, or no doors.
pub fn serve(doors: Doors, desk: Desk) -> io::Result<()> {
    let desk = Arc::new(desk);
    let pages = router(Arc::clone(&desk));
    let beyond = match router_beyond(Arc::clone(&desk)) {
        Some(pages) => Some(Arc::new(Beyond {
            pages,
            instructions: lan::instructions(Arc::clone(&desk)),
            acceptor: lan::acceptor(&desk)?,
            places: Arc::default(),
        })),
        None => None,
    };
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let end = told_to_end()?;
        let mut answering = Vec::new();
        let (tell, told) = tokio::sync::watch::channel(());
        for listener in doors.listeners {
            listener.set_nonblocking(true)?;
            let listener = tokio::net::TcpListener::from_std(listener)?;
            answering.push(tokio::spawn(answer(
                listener,
                Leads::Here(pages.clone()),
                told.clone(),
            )));
        }
        // Doors that nothing lies behind stay shut.
        for (listener, beyond) in doors.beyond.into_iter().zip(std::iter::repeat(beyond)) {
            let Some(beyond) = beyond else { continue };
            listener.set_nonblocking(true)?;
            let listener = tokio::net::TcpListener::from_std(listener)?;
            answering.push(tokio::spawn(answer(
                listener,
                Leads::Beyond(beyond),
                told.clone(),
            )));
        }
        drop(told);
        end.await;
        drop(tell);
        for task in answering {
            // A door that broke is closed as well.
            let _ = task.await;
        }
        Ok(())
    })
}

/// Where a door leads.
enum Leads {
    /// To the pages, for browsers on this machine.
    Here(Router),
    /// To the pages for paired machines, or to the instructions.
    Beyond(Arc<Beyond>),
}

/// What lies behind the doors that lead out of this machine.
struct Beyond {
    pages: Router,
    instructions: Router,
    acceptor: TlsAcceptor,
    places: Arc<Places>,
}

/// The places for connections from beyond this machine: how many each address holds.
#[derive(Debug, Default)]
struct Places(Mutex<BTreeMap<IpAddr, usize>>);

/// A place for one connection, free again when it is dropped.
#[derive(Debug)]
struct Held {
    places: Arc<Places>,
    by: IpAddr,
}

impl Places {
    fn held(&self) -> std::sync::MutexGuard<'_, BTreeMap<IpAddr, usize>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A place, unless all are held, or this address holds its share.
    fn take(self: &Arc<Self>, by: IpAddr) -> Option<Held> {
        // An address of the older kind comes as one of the newer kind through a door for both.
        let by = by.to_canonical();
        let mut held = self.held();
        if held.values().sum::<usize>() >= MOST_BEYOND {
            return None;
        }
        let own = held.entry(by).or_default();
        if *own >= MOST_OF_ONE {
            return None;
        }
        *own += 1;
        Some(Held {
            places: Arc::clone(self),
            by,
        })
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        let mut held = self.places.held();
        if let Some(own) = held.get_mut(&self.by) {
            *own -= 1;
            if *own == 0 {
                held.remove(&self.by);
            }
        }
    }
}

async fn answer(listener: tokio::net::TcpListener, leads: Leads, mut told: tokio::sync::watch::Receiver<()>) {
    let connections = GracefulShutdown::new();
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(HEAD_WITHIN);
    loop {
        let (stream, from) = tokio::select! {
            taken = listener.accept() => match taken {
                Ok(taken) => taken,
                Err(_) => {
                    tokio::time::sleep(PAUSE).await;
                    continue;
                }
            },
            _ = told.changed() => break,
        };
        // Else the end of a long page would wait for word that its beginning has come; without this it is only slower.
        let _ = stream.set_nodelay(true);
        match &leads {
            Leads::Here(pages) => {
                let service = TowerToHyperService::new(pages.clone());
                let connection = connections.watch(http.serve_connection(TokioIo::new(stream), service));
                // A browser that breaks off is no news.
                tokio::spawn(async move { drop(connection.await) });
            }
            Leads::Beyond(beyond) => {
                // One that is too many is closed.
                let Some(place) = beyond.places.take(from.ip()) else {
                    continue;
                };
                let work = meet(stream, Arc::clone(beyond), http.clone(), connections.watcher());
                tokio::spawn(async move {
                    let _ = tokio::time::timeout(HELD_AT_MOST, work).await;
                    drop(place);
                });
            }
        }
    }
    drop(listener);
    let _ = tokio::time::timeout(END_WITHIN, connections.shutdown()).await;
}

/// Meets a connection from beyond this machine; one that says nothing is closed.
async fn meet(stream: TcpStream, beyond: Arc<Beyond>, http: http1::Builder, watcher: Watcher) {
    match lan::is_encrypted(&stream).await {
        Ok(true) => {
            if let Ok(stream) = lan::greet(&beyond.acceptor, stream).await {
                let service = TowerToHyperService::new(beyond.pages.clone());
                drop(
                    watcher
                        .watch(http.serve_connection(TokioIo::new(stream), service))
                        .await,
                );
            }
        }
        Ok(false) => {
            let service = TowerToHyperService::new(beyond.instructions.clone());
            drop(
                watcher
                    .watch(http.serve_connection(TokioIo::new(stream), service))
                    .await,
            );
        }
        Err(_) => {}
    }
}

/// Comes to pass when somebody at the keyboard or the system wants the program to end.
#[cfg(unix)]
fn told_to_end() -> io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut terminate = signal(SignalKind::terminate())?;
    let mut interrupt = signal(SignalKind::interrupt())?;
    Ok(async move {
        let (terminate, interrupt) = (pin!(terminate.recv()), pin!(interrupt.recv()));
        tokio::select! { _ = terminate => {}, _ = interrupt => {} }
    })
}

/// Comes to pass when somebody at the keyboard wants the program to end.
#[cfg(not(unix))]
fn told_to_end() -> io::Result<impl Future<Output = ()>> {
    Ok(async {
        let end = pin!(tokio::signal::ctrl_c());
        let _ = end.await;
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doors_open_on_this_machine_alone() {
        let doors = Doors::open(Some(0)).expect("a port");
        for listener in &doors.listeners {
            let at = listener.local_addr().expect("an address");
            assert!(at.ip().is_loopback());
            assert_eq!(at.port(), doors.port);
        }
    }

    #[test]
    fn one_address_cannot_hold_the_door_shut_for_the_others() {
        let places = Arc::new(Places::default());
        let greedy: IpAddr = [192, 168, 1, 66].into();
        // The same machine by the other way of writing its address.
        let mapped = IpAddr::V6(Ipv4Addr::new(192, 168, 1, 66).to_ipv6_mapped());
        let mut held: Vec<Held> = (0..MOST_OF_ONE).filter_map(|_| places.take(greedy)).collect();
        assert_eq!(held.len(), MOST_OF_ONE);
        assert!(places.take(greedy).is_none() && places.take(mapped).is_none());
        assert!(places.take([192, 168, 1, 20].into()).is_some());
        held.pop();
        assert!(places.take(greedy).is_some(), "it is free again");
        drop(held);
        assert!(places.held().is_empty(), "nothing is remembered of who has gone");
    }

    #[test]
    fn there_are_so_many_places_and_no_more() {
        let places = Arc::new(Places::default());
        let addresses = (0..=u8::MAX).flat_map(|last| [IpAddr::from([10, 0, 0, last]); 2]);
        let held: Vec<Held> = addresses.filter_map(|from| places.take(from)).collect();
        assert_eq!(held.len(), MOST_BEYOND);
    }

    #[test]
    fn a_port_in_use_is_said_to_be_in_use() {
        let doors = Doors::open(Some(0)).expect("a port");
        let error = Doors::open(Some(doors.port)).expect_err("it is in use");
        assert_eq!(error.kind(), io::ErrorKind::AddrInUse);
    }
}
