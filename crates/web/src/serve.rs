//! The way from a port of this machine to the desk.

use std::future::Future;
use std::io;
use std::net::{Ipv4Addr, Ipv6Addr, TcpListener};
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;

use crate::Desk;
use crate::router::router;

/// The port that is tried first.
pub const USUAL_PORT: u16 = 8436;

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
        })
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
    let router = router(Arc::new(desk));
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let end = told_to_end()?;
        let mut answering = Vec::new();
        let (tell, told) = tokio::sync::watch::channel(());
        for listener in doors.listeners {
            listener.set_nonblocking(true)?;
            let listener = tokio::net::TcpListener::from_std(listener)?;
            answering.push(tokio::spawn(answer(listener, router.clone(), told.clone())));
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

async fn answer(
    listener: tokio::net::TcpListener,
    router: Router,
    mut told: tokio::sync::watch::Receiver<()>,
) {
    let connections = GracefulShutdown::new();
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(HEAD_WITHIN);
    loop {
        let (stream, _) = tokio::select! {
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
        let service = TowerToHyperService::new(router.clone());
        let connection = connections.watch(http.serve_connection(TokioIo::new(stream), service));
        // A browser that breaks off is no news.
        tokio::spawn(async move { drop(connection.await) });
    }
    drop(listener);
    let _ = tokio::time::timeout(END_WITHIN, connections.shutdown()).await;
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
    fn a_port_in_use_is_said_to_be_in_use() {
        let doors = Doors::open(Some(0)).expect("a port");
        let error = Doors::open(Some(doors.port)).expect_err("it is in use");
        assert_eq!(error.kind(), io::ErrorKind::AddrInUse);
    }
}
