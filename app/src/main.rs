//! Opens the window, or does one command without it.

fn main() -> std::process::ExitCode {
    basteline::cli::run(std::env::args_os())
}
