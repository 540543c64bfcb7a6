//! What a command hands back: texts for the two streams and an exit code.

use std::io::Write;

/// The exit codes of the contract.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// No errors.
    Fine = 0,
    /// The yard has errors.
    YardHasErrors = 1,
    /// It could not be run: wrong arguments, FILE unreadable, cannot write.
    CouldNotRun = 2,
    /// A fault of this program.
    OurFault = 70,
}

/// A finished command. Commands write nothing themselves, so they can be tried
/// without a terminal and a closed pipe is met in one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// What was asked for: goes to the standard output.
    pub data: String,
    /// What is said beside it: goes to the standard error.
    pub talk: String,
    /// How it ended.
    pub exit: Exit,
}

impl Outcome {
    /// A command that went well.
    #[must_use]
    pub fn fine(data: impl Into<String>) -> Self {
        Self { data: data.into(), talk: String::new(), exit: Exit::Fine }
    }

    /// With another end.
    #[must_use]
    pub fn exit(mut self, exit: Exit) -> Self {
        self.exit = exit;
        self
    }

    /// With something said beside the data.
    #[must_use]
    pub fn talk(mut self, text: impl AsRef<str>) -> Self {
        self.talk.push_str(text.as_ref());
        self
    }

    /// Writes both texts and gives the exit code. Nobody reading on changes nothing:
    /// `yardwright check big.yard | head` is a fine thing to type.
    pub fn deliver(&self, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
        let written = out.write_all(self.data.as_bytes()).and_then(|()| out.flush());
        let exit = match written {
            Ok(()) => self.exit as u8,
            Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => self.exit as u8,
            Err(e) => {
                // The last resort: if the standard error is closed too, the exit
                // code is all that is left to say it with.
                let _ = writeln!(err, "The result could not be written: {e}.");
                Exit::CouldNotRun as u8
            }
        };
        let _ = err.write_all(self.talk.as_bytes()).and_then(|()| err.flush());
        exit
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Closed(std::io::ErrorKind);

    impl Write for Closed {
        fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn nobody_reading_on_is_no_failure_and_a_full_disk_is_one() {
        let outcome = Outcome::fine("data").exit(Exit::YardHasErrors);
        let mut err = Vec::new();
        let mut closed = Closed(std::io::ErrorKind::BrokenPipe);
        assert_eq!(outcome.deliver(&mut closed, &mut err), 1);
        assert_eq!(Outcome::fine("data").deliver(&mut closed, &mut err), 0);
        assert!(err.is_empty());
        let mut full = Closed(std::io::ErrorKind::StorageFull);
        assert_eq!(outcome.deliver(&mut full, &mut err), 2);
        assert!(String::from_utf8(err).unwrap().contains("could not be written"));
    }
}
