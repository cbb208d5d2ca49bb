//! Work on all processors.

use std::sync::Mutex;

/// Does something with each, given its number, on all processors; what comes out, in
/// their order.
pub fn each<T: Sync, R: Send>(all: &[T], work: impl Fn(usize, &T) -> Option<R> + Sync) -> Vec<R> {
    let next = Mutex::new(all.iter().enumerate());
    let done = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some((number, one)) = next.lock().ok().and_then(|mut next| next.next()) {
                    if let Some(result) = work(number, one)
                        && let Ok(mut done) = done.lock()
                    {
                        done.push((number, result));
                    }
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_default();
    done.sort_by_key(|(number, _)| *number);
    done.into_iter().map(|(_, result)| result).collect()
}
