//! The program: all of it is in the library.

fn main() -> std::process::ExitCode {
    yardwright::cli::main()
}
