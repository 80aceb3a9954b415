//! The only code that touches the disk: reads within limits, writes to a temporary name, then renames.
//!
//! A folder that `make` fills also gets [`LIST`], the checksums of all that was written, in the form that `sha256sum -c`
//! reads. A file in the folder is replaced only when that list names it and its checksum still holds, so that nothing a
//! person made or changed is lost.

#![allow(clippy::disallowed_methods, reason = "this is the one place that reads and writes")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::io::{self, BufRead, Read, Write as _};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tempfile::NamedTempFile;

/// Name of the list of checksums beside the files that `make` wrote.
pub const LIST: &str = "files.sha256";

/// The largest text file (job, machine, post) that is read, in bytes: a thousand times a large one.
pub const TEXT_LIMIT: u64 = 16 << 20;

/// The largest drawing that is read, in bytes.
pub const DRAWING_LIMIT: u64 = 512 << 20;

/// Why a file could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is no such file.
    #[error("there is no file {}", .0.display())]
    Missing(PathBuf),
    /// It is a folder.
    #[error("{} is a folder, not a file", .0.display())]
    Folder(PathBuf),
    /// It is larger than is read.
    #[error("{} holds {bytes} bytes, more than the {limit} that are read", .path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        bytes: u64,
        /// The limit.
        limit: u64,
    },
    /// It is not text.
    #[error("{} is not UTF-8 text", .0.display())]
    NotText(PathBuf),
    /// It is there already and somebody else's.
    #[error("{} is there already and was not written by make, or was changed since", .0.display())]
    Taken(PathBuf),
    /// The person asked to stop.
    #[error("stopped before anything was written")]
    Stopped,
    /// The system refused.
    #[error("cannot {what} {}: {source}", .path.display())]
    System {
        /// What was tried.
        what: &'static str,
        /// On what.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl Error {
    fn system(what: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |source| match source.kind() {
            io::ErrorKind::NotFound if what == "read" => Self::Missing(path),
            io::ErrorKind::IsADirectory if what == "read" => Self::Folder(path),
            _ => Self::System { what, path, source },
        }
    }
}

/// The bytes of a file of at most `limit` bytes.
///
/// # Errors
/// [`Error`] where it is missing, a folder, too large, or the system refuses.
pub fn read(path: &Path, limit: u64) -> Result<Vec<u8>, Error> {
    let (file, size) = open(path)?;
    if size.len() > limit {
        return Err(Error::TooLarge { path: path.to_owned(), bytes: size.len(), limit });
    }
    // A pipe or a growing file has no length to trust: read one byte more than the limit at the most.
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes).map_err(Error::system("read", path))?;
    if bytes.len() as u64 > limit {
        return Err(Error::TooLarge { path: path.to_owned(), bytes: bytes.len() as u64, limit });
    }
    Ok(bytes)
}

/// A file that is read as it comes, whatever its size, with the checksum of all that went by.
#[derive(Debug)]
pub struct Stream {
    path: PathBuf,
    file: io::BufReader<fs::File>,
    sum: Sha256,
}

/// Opens a file to be read as it comes.
///
/// # Errors
/// [`Error`] where it is missing, a folder, or the system refuses.
pub fn stream(path: &Path) -> Result<Stream, Error> {
    let (file, _) = open(path)?;
    Ok(Stream { path: path.to_owned(), file: io::BufReader::new(file), sum: Sha256::new() })
}

impl Stream {
    /// SHA-256 of the whole file, in hexadecimal: what was not read yet is read to its end.
    ///
    /// # Errors
    /// What the system says.
    pub fn checksum(mut self) -> Result<String, Error> {
        io::copy(&mut self, &mut io::sink()).map_err(Error::system("read", &self.path))?;
        Ok(hexadecimal(&self.sum.finalize()))
    }

    /// What the system said while it was read.
    pub fn failed(&self, error: io::Error) -> Error {
        Error::system("read", &self.path)(error)
    }
}

impl Read for Stream {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let count = self.fill_buf()?.read(into)?;
        self.consume(count);
        Ok(count)
    }
}

impl BufRead for Stream {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        self.file.fill_buf()
    }

    fn consume(&mut self, count: usize) {
        let (gone, _) = self.file.buffer().split_at(count);
        self.sum.update(gone);
        self.file.consume(count);
    }
}

/// Whether there is a file at `path` that could be read.
///
/// # Errors
/// [`Error`] where it is missing, a folder, or the system refuses.
pub fn can_read(path: &Path) -> Result<(), Error> {
    open(path).map(|_| ())
}

/// A file, opened, and what the system knows of it.
fn open(path: &Path) -> Result<(fs::File, fs::Metadata), Error> {
    let file = fs::File::open(path).map_err(Error::system("read", path))?;
    let about = file.metadata().map_err(Error::system("read", path))?;
    if about.is_dir() { Err(Error::Folder(path.to_owned())) } else { Ok((file, about)) }
}

/// What changes when a file does: when it was last written, and its length.
pub type Stamp = (std::time::SystemTime, u64);

/// The stamp of what lies at `path`; none where nothing does.
pub fn stamp(path: &Path) -> Option<Stamp> {
    let about = fs::metadata(path).ok()?;
    Some((about.modified().ok()?, about.len()))
}

/// Whether anything is at `path`.
pub fn is_there(path: &Path) -> bool {
    path.exists()
}

/// Whether there is a folder at `path`.
pub fn is_folder(path: &Path) -> bool {
    path.is_dir()
}

/// Names of what lies in a folder, in order, and whether each is a folder itself.
///
/// # Errors
/// [`Error`] where the folder is missing or the system refuses.
pub fn list(folder: &Path) -> Result<Vec<(String, bool)>, Error> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(Error::system("read", folder))? {
        let entry = entry.map_err(Error::system("read", folder))?;
        names.push((entry.file_name().to_string_lossy().into_owned(), entry.path().is_dir()));
    }
    names.sort();
    Ok(names)
}

/// The text of a file of at most [`TEXT_LIMIT`] bytes; a byte order mark at its start is left out.
///
/// # Errors
/// As [`read`], and where it is not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Error> {
    let text = String::from_utf8(read(path, TEXT_LIMIT)?).map_err(|_| Error::NotText(path.to_owned()))?;
    Ok(text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text))
}

/// SHA-256 of some bytes, in hexadecimal.
pub fn checksum(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// Names and checksums of what `make` left in a folder, by its [`LIST`]; none where there is no list.
pub fn listed(folder: &Path) -> BTreeMap<String, String> {
    let list = read_text(&folder.join(LIST)).unwrap_or_default();
    list.lines()
        .filter_map(|line| line.split_once("  "))
        .filter(|(_, name)| Path::new(name).components().count() == 1 && !name.starts_with('.'))
        .map(|(sum, name)| (name.to_owned(), sum.to_owned()))
        .collect()
}

/// Writes one file, whole or not at all.
///
/// # Errors
/// [`Error::Taken`] where there is one already and `force` is not set; else what the system says.
pub fn write_one(path: &Path, bytes: &[u8], force: bool) -> Result<(), Error> {
    if path.is_dir() {
        return Err(Error::Folder(path.to_owned()));
    }
    if !force && path.exists() {
        return Err(Error::Taken(path.to_owned()));
    }
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    staged(folder, path, bytes)?.persist(path).map_err(|e| Error::system("write", path)(e.error))?;
    Ok(())
}

/// Writes one file into a folder that is made if need be, in the place of an earlier one.
///
/// # Errors
/// What the system says; no folder stays that was made for nothing.
pub fn write_into_folder(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), Error> {
    let made = make_folder(folder)?;
    let done = write_one(&folder.join(name), bytes, true);
    if done.is_err() {
        for folder in made {
            let _ = fs::remove_dir(folder);
        }
    }
    done
}

/// Writes all files of a job into `folder`, which is made if need be, with their [`LIST`]: first all of them under
/// temporary names, then each is renamed. Files of an earlier run that are no longer made are taken away.
///
/// # Errors
/// [`Error::Taken`] where a file is in the way that an earlier run did not write and `force` is not set;
/// [`Error::Stopped`] where `stopped` says so before the first rename; else what the system says.
pub fn write_all(
    folder: &Path,
    files: &BTreeMap<String, Vec<u8>>,
    force: bool,
    stopped: &dyn Fn() -> bool,
) -> Result<(), Error> {
    let made = make_folder(folder)?;
    let done = write_into(folder, files, force, stopped);
    if done.is_err() {
        // Only folders made just now, and only if nothing lies in them.
        for folder in made {
            let _ = fs::remove_dir(folder);
        }
    }
    done
}

fn write_into(
    folder: &Path,
    files: &BTreeMap<String, Vec<u8>>,
    force: bool,
    stopped: &dyn Fn() -> bool,
) -> Result<(), Error> {
    let earlier = listed(folder);
    let mut list = String::new();
    for (name, bytes) in files {
        let _ = writeln!(list, "{}  {name}", checksum(bytes));
    }
    let all = || {
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).chain([(LIST, list.as_bytes())])
    };
    if !force && let Some((name, _)) = all().find(|(name, _)| is_taken(folder, name, &earlier)) {
        return Err(Error::Taken(folder.join(name)));
    }
    let mut ready = Vec::new();
    for (name, bytes) in all() {
        if stopped() {
            return Err(Error::Stopped);
        }
        let path = folder.join(name);
        ready.push((staged(folder, &path, bytes)?, path));
    }
    if stopped() {
        return Err(Error::Stopped);
    }
    for (file, path) in ready {
        file.persist(&path).map_err(|e| Error::system("write", &path)(e.error))?;
    }
    for name in earlier.keys().filter(|name| !files.contains_key(*name)) {
        if !is_taken(folder, name, &earlier) {
            let _ = fs::remove_file(folder.join(name));
        }
    }
    Ok(())
}

/// Makes the folder and gives those that were missing, innermost first.
fn make_folder(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let missing: Vec<PathBuf> = folder
        .ancestors()
        .take_while(|f| !f.as_os_str().is_empty() && !f.exists())
        .map(Path::to_owned)
        .collect();
    fs::create_dir_all(folder).map_err(Error::system("make the folder", folder))?;
    Ok(missing)
}

/// The bytes under a temporary name in the folder; the file goes away again unless it is renamed.
fn staged(folder: &Path, path: &Path, bytes: &[u8]) -> Result<NamedTempFile, Error> {
    let refuse = |e| Error::system("write", path)(e);
    let mut builder = tempfile::Builder::new();
    builder.prefix(".grainwise-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file: the system takes away what the person's mask says.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder).map_err(refuse)?;
    file.write_all(bytes).and_then(|()| file.flush()).map_err(refuse)?;
    Ok(file)
}

/// Whether a file of this name lies in the folder that an earlier run did not write.
fn is_taken(folder: &Path, name: &str, earlier: &BTreeMap<String, String>) -> bool {
    let path = folder.join(name);
    if !path.exists() {
        return false;
    }
    if name == LIST {
        return earlier.is_empty();
    }
    let now = read(&path, u64::MAX - 1).map(|bytes| checksum(&bytes)).ok();
    now.is_none() || now.as_deref() != earlier.get(name).map(String::as_str)
}
