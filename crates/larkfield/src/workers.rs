//! Work handed out in fixed pieces to threads, whose results come back in the
//! order of the pieces: the same whatever the number of threads.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::{Builder, scope};
use std::time::Duration;

use anyhow::Context;
use larkfield_rehearsal::{FAILED, Failure};

/// How often whoever waits looks up.
const LOOK_UP: Duration = Duration::from_millis(100);

/// What came of one piece.
enum Came<T> {
    Done(T),
    Stopped,
    Failed(Failure),
}

/// Does `pieces` pieces of work on up to `threads` threads. `work` gets the
/// number of its piece and a question it must ask often, whether to go on; it
/// answers `None` when it was told to stop. `look` is called on this thread
/// whenever a piece is done and about ten times a second, with the number of
/// pieces done; when it returns false everything stops.
///
/// `None` when it was stopped.
///
/// # Errors
/// The failure of the first piece, in order, of those that failed; a thread
/// that panicked counts as failed. One failure stops the others.
pub fn side_by_side<T: Send>(
    pieces: usize,
    threads: usize,
    work: impl Fn(usize, &dyn Fn() -> bool) -> Result<Option<T>, Failure> + Sync,
    mut look: impl FnMut(usize) -> bool,
) -> Result<Option<Vec<T>>, Failure> {
    let next = AtomicUsize::new(0);
    let halt = AtomicBool::new(false);
    scope(|scope| {
        let (sender, receiver) = channel();
        let mut started = Ok(());
        for number in 0..threads.clamp(1, pieces.max(1)) {
            let sender = sender.clone();
            let run = || one_thread(pieces, &next, &halt, &work, sender);
            let begun = Builder::new().spawn_scoped(scope, run);
            // Fewer threads than asked for do the same work.
            if number == 0 {
                started = begun.map(|_| ());
            }
        }
        drop(sender);
        started.context("no thread could be started")?;
        collect(pieces, &receiver, &halt, &mut look)
    })
}

fn one_thread<T>(
    pieces: usize,
    next: &AtomicUsize,
    halt: &AtomicBool,
    work: &impl Fn(usize, &dyn Fn() -> bool) -> Result<Option<T>, Failure>,
    sender: Sender<(usize, Came<T>)>,
) {
    let go_on = || !halt.load(Ordering::SeqCst);
    while go_on() {
        let piece = next.fetch_add(1, Ordering::SeqCst);
        if piece >= pieces {
            break;
        }
        let came = match catch_unwind(AssertUnwindSafe(|| work(piece, &go_on))) {
            Ok(Ok(Some(done))) => Came::Done(done),
            Ok(Ok(None)) => Came::Stopped,
            Ok(Err(failure)) => Came::Failed(failure),
            Err(_) => Came::Failed(Failure {
                code: FAILED,
                error: anyhow::anyhow!(
                    "the program itself failed in part {} of {pieces} of this work, as it says \
                     above; please report that with the command you typed",
                    piece + 1
                ),
            }),
        };
        if !matches!(came, Came::Done(_)) {
            halt.store(true, Ordering::SeqCst);
        }
        // Nobody listens any more only when all is over.
        let _ = sender.send((piece, came));
    }
}

fn collect<T>(
    pieces: usize,
    receiver: &Receiver<(usize, Came<T>)>,
    halt: &AtomicBool,
    look: &mut impl FnMut(usize) -> bool,
) -> Result<Option<Vec<T>>, Failure> {
    let mut results: Vec<Option<T>> = (0..pieces).map(|_| None).collect();
    let mut failed: Option<(usize, Failure)> = None;
    let mut done = 0;
    loop {
        match receiver.recv_timeout(LOOK_UP) {
            Ok((piece, Came::Done(result))) => {
                if let Some(place) = results.get_mut(piece) {
                    *place = Some(result);
                    done += 1;
                }
            }
            Ok((piece, Came::Failed(failure))) => {
                if failed.as_ref().is_none_or(|(first, _)| piece < *first) {
                    failed = Some((piece, failure));
                }
            }
            Ok((_, Came::Stopped)) | Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => break,
        }
        if !look(done) {
            halt.store(true, Ordering::SeqCst);
        }
    }
    match failed {
        Some((_, failure)) => Err(failure),
        None => Ok(results.into_iter().collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn squares(threads: usize) -> Option<Vec<usize>> {
        let work = |piece: usize, _: &dyn Fn() -> bool| {
            // Early pieces take longest, so that threads finish out of order.
            std::thread::sleep(Duration::from_millis(20 - piece as u64));
            Ok(Some(piece * piece))
        };
        side_by_side(20, threads, work, |_| true).unwrap_or(None)
    }

    #[test]
    fn results_come_in_order_whatever_the_number_of_threads() {
        let expected: Vec<usize> = (0..20).map(|piece| piece * piece).collect();
        for threads in [0, 1, 2, 7, 64] {
            assert_eq!(squares(threads), Some(expected.clone()), "{threads}");
        }
    }

    #[test]
    fn one_panic_or_failure_ends_it_all_with_the_first_reason() {
        for bad in ["panic", "error"] {
            let work = |piece: usize, go_on: &dyn Fn() -> bool| {
                if piece == 3 {
                    assert_ne!(bad, "panic");
                    return Err(Failure::input("piece 3"));
                }
                // Everybody else would go on for ever.
                while piece > 3 && go_on() {
                    std::thread::sleep(Duration::from_millis(1));
                }
                Ok(go_on().then_some(piece))
            };
            let failure = side_by_side(10, 3, work, |_| true).err();
            let said = failure.map(|f| f.error.to_string()).unwrap_or_default();
            let expected = if bad == "panic" {
                "part 4 of 10"
            } else {
                "piece 3"
            };
            assert!(said.contains(expected), "{said}");
        }
    }

    #[test]
    fn whoever_looks_can_stop_it() {
        let work = |piece: usize, go_on: &dyn Fn() -> bool| {
            while piece > 0 && go_on() {
                std::thread::sleep(Duration::from_millis(1));
            }
            Ok((piece == 0).then_some(piece))
        };
        let result = side_by_side(5, 2, work, |done| done == 0);
        assert!(matches!(result, Ok(None)));
    }
}
