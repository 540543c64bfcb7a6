//! Temporary driver.
use yardwright::{finding::Locate, *};
fn main() {
    let mut c = check::Compiler::default();
    let a: Vec<String> = std::env::args().collect();
    let t = std::time::Instant::now();
    let r = c.compile(std::path::Path::new(a.last().expect("file"))).expect("compile");
    eprintln!("{:?}", t.elapsed());
    if a.iter().any(|x| x == "json") {
        #[allow(clippy::print_stdout)]
        {
            println!("{}", emit::report::Report::new(&r, c.sources()).to_json().expect("json"));
        }
    } else {
        println!("{}", emit::text::report(&r, &emit::text::TextOptions::default()));
        for f in &r.findings {
            let l = f.place.and_then(|p| c.sources().locate(p));
            println!(
                "{} {:?} {} | {:?}",
                f.code.word,
                l.map(|l| (l.file, l.line, l.column)),
                f.message,
                f.help
            );
        }
    }
}
