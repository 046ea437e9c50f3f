//! Lays the published garment instances and prints how densely.
//!
//! `cargo run --release -p tests --bin lay-instances -- --seconds 60`
#![allow(clippy::print_stdout, reason = "a tool that prints its figures")]

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

use clap::Parser;
use draft_core::lay::{Effort, Layout, Planner as _, SearchPlanner, Task, Watch, verify};
use rayon::{ThreadPool, ThreadPoolBuilder};

#[derive(Parser)]
struct Args {
    /// Seconds for each lay
    #[arg(long, default_value_t = 60.0)]
    seconds: f64,
    /// Seeds
    #[arg(long, value_delimiter = ',', default_values_t = [1, 2, 3])]
    seeds: Vec<u64>,
    /// Searches side by side
    #[arg(long, default_value_t = 2)]
    workers: usize,
    /// Count seconds of processor time, shared by the threads, in place of seconds on the wall: for a busy machine
    #[arg(long)]
    processor: bool,
    /// Threads
    #[arg(long, default_value_t = 2)]
    threads: usize,
    /// Instances: files of `tests/data/lay`, or paths
    #[arg(default_values_t = ["shirts".to_owned(), "trousers".to_owned(), "swim".to_owned()])]
    instances: Vec<String>,
}

/// Keeps what was found and when.
struct Clock<'a> {
    task: &'a Task,
    begun: Instant,
    processor: Option<f64>,
    until: f64,
    pool: &'a ThreadPool,
    found: Mutex<Vec<(f64, f64)>>,
    passes: AtomicU64,
}

/// Seconds of processor time that this process has used so far; hundredths, as the kernel counts them.
fn processor_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // Fields 14 and 15, user and system time; the second field, in brackets, may hold blanks.
    let fields = text.rsplit(')').next().unwrap_or_default().split_whitespace().skip(11).take(2);
    fields.filter_map(|f| f.parse::<f64>().ok()).sum::<f64>() / 100.0
}

impl Clock<'_> {
    fn seconds(&self) -> f64 {
        match self.processor {
            Some(begun) => (processor_seconds() - begun) / self.pool.current_num_threads() as f64,
            None => self.begun.elapsed().as_secs_f64(),
        }
    }
}

impl Watch for Clock<'_> {
    fn stop(&self) -> bool {
        self.seconds() >= self.until
    }

    fn better(&self, layout: &Layout) {
        if let Ok(mut found) = self.found.lock() {
            found.push((self.seconds(), layout.density(self.task)));
        }
    }

    fn passes(&self, done: u64) {
        self.passes.store(done, Ordering::Relaxed);
    }

    fn together(&self, jobs: Vec<Box<dyn FnOnce() + Send + '_>>) {
        self.pool.scope(|scope| jobs.into_iter().for_each(|job| scope.spawn(|_| job())));
    }
}

fn load() -> String {
    std::fs::read_to_string("/proc/loadavg").unwrap_or_default().split_whitespace().take(3).collect::<Vec<_>>().join(" ")
}

fn main() -> Result<(), String> {
    let args = Args::parse();
    let pool = ThreadPoolBuilder::new().num_threads(args.threads.max(1)).build().map_err(|e| e.to_string())?;
    println!(
        "{:<10} {:>4}  {:>8} {:>7}  {:>7} {:>7} {:>7} {:>8}  {:>7}  load",
        "instance", "seed", "first s", "first", "1 s", "5 s", "20 s", "end", "passes"
    );
    for name in &args.instances {
        let path = if name.contains('/') {
            PathBuf::from(name)
        } else {
            Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("data/lay/{name}.json"))
        };
        let (task, _) = tests::instances::read(&path)?;
        let mut ends = Vec::new();
        let mut fives = Vec::new();
        for &seed in &args.seeds {
            let clock = Clock {
                task: &task,
                begun: Instant::now(),
                processor: args.processor.then(processor_seconds),
                until: args.seconds,
                pool: &pool,
                found: Mutex::default(),
                passes: AtomicU64::new(0),
            };
            let effort = Effort { seed, passes: u64::MAX, workers: args.workers };
            let layout = SearchPlanner.plan(&task, effort, &clock).map_err(|e| e.to_string())?;
            let faults = verify::faults(&task, &layout);
            if let Some(fault) = faults.first() {
                return Err(format!("{name}, seed {seed}: {} faults, the first: {fault}", faults.len()));
            }
            let end = layout.density(&task);
            let found = clock.found.lock().map_err(|e| e.to_string())?;
            let at = |s: f64| found.iter().take_while(|f| f.0 <= s).last().map_or(0.0, |f| 100.0 * f.1);
            let first = found.first().copied().unwrap_or_default();
            println!(
                "{name:<10} {seed:>4}  {:>8.2} {:>7.2}  {:>7.2} {:>7.2} {:>7.2} {:>8.2}  {:>7}  {}",
                first.0,
                100.0 * first.1,
                at(1.0),
                at(5.0),
                at(20.0),
                100.0 * end,
                clock.passes.load(Ordering::Relaxed),
                load()
            );
            ends.push(100.0 * end);
            fives.push(at(5.0));
        }
        let mean = |list: &[f64]| list.iter().sum::<f64>() / list.len().max(1) as f64;
        println!("{name:<10} mean                              {:>7.2}         {:>8.2}", mean(&fives), mean(&ends));
    }
    Ok(())
}
