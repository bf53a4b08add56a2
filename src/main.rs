//! The door step: hands the arguments to the command line door and exits as it says.

use std::process::ExitCode;

fn main() -> ExitCode {
    lynchet::cli::run(std::env::args_os())
}
