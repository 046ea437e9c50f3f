//! Work that is done away from the window, so that it stays alive meanwhile.

use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;
use std::time::{Duration, Instant};

/// Something under way on another thread.
pub struct Errand<T> {
    answer: Receiver<T>,
    begun: Instant,
}

/// How an errand stands.
pub enum Standing<T> {
    /// Still out.
    Out,
    /// Back.
    Back(T),
    /// It will never come back.
    Lost,
}

impl<T: Send + 'static> Errand<T> {
    /// Sends someone off; the window wakes when they are back.
    pub fn send(ctx: &egui::Context, work: impl FnOnce() -> T + Send + 'static) -> Self {
        let (sender, answer) = channel();
        let ctx = ctx.clone();
        thread::spawn(move || {
            // The window may have been closed meanwhile; then nobody asks for the answer.
            let _ = sender.send(work());
            ctx.request_repaint();
        });
        Self { answer, begun: Instant::now() }
    }

    /// Looks whether they are back.
    pub fn look(&self) -> Standing<T> {
        match self.answer.try_recv() {
            Ok(answer) => Standing::Back(answer),
            Err(TryRecvError::Empty) => Standing::Out,
            Err(TryRecvError::Disconnected) => Standing::Lost,
        }
    }

    /// How long they have been out.
    pub fn time_out(&self) -> Duration {
        self.begun.elapsed()
    }
}
