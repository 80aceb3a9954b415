//! What lies on the shelf: the woods, machines and posts that come with the program, under those of a person's own folder.
//!
//! | in the folder | holds |
//! | --- | --- |
//! | `tables/WOOD.yaml` | a wood of one's own, or what differs from another that it `extends` |
//! | `measured/WOOD.yaml` | what coupons told: written by the program, laid over the wood of that name |
//! | `machines/NAME.yaml` | a machine, which may extend another |
//! | `posts/NAME.yaml` | a post, which may extend another |
//!
//! A file that extends the name it bears itself extends the shipped one; any other name means one's own first.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::machine::{self, Machine};
use super::table::Tables;
use super::wood::{self, Wood};
use super::{MACHINES, Post, Shop, TABLES, names, yaml_files};
use crate::files;
use crate::problem::{Problem, Problems};
use crate::yaml::{self, Node, Place};

/// Folders within the shop's.
pub const FOLDERS: [&str; 4] = ["tables", "measured", "machines", "posts"];

/// Name of the folder that is looked for beside a job where nobody names one.
pub const FOLDER: &str = "shop";

/// How many files may extend each other in a row.
const LONGEST_CHAIN: usize = 8;

/// Everything that the shop knows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    folder: Option<PathBuf>,
    woods: BTreeMap<String, Stocked>,
}

/// A wood, its tables, and the files that they come from, the one that counts most last.
#[derive(Clone, Debug, PartialEq)]
pub struct Stocked {
    /// The wood.
    pub wood: Wood,
    /// How it is cut.
    pub tables: Tables,
    /// Where it comes from: `post/tables/…` is shipped.
    pub files: Vec<String>,
}

/// The own files of woods that are yet to be read.
struct Unread {
    file: String,
    node: Node,
    extends: Option<(String, Place)>,
}

impl Shelf {
    /// What comes with the program.
    pub fn shipped() -> Self {
        let files: Vec<_> = yaml_files(&TABLES).collect();
        let read = |&(name, text): &(&str, &str)| {
            let file = format!("post/tables/{name}.yaml");
            // Shipped files are tested: nothing is wrong with them.
            let (wood, mut tables) = wood::read(name, text, &file, &mut Problems::new())?;
            tables.given.clear();
            Some((name.to_owned(), Stocked { wood, tables, files: vec![file] }))
        };
        let woods = files.par_iter().filter_map(read).collect();
        Self { folder: None, woods }
    }

    /// The same with a person's own folder laid over it. Every wood in it is read and checked; everything wrong is added to
    /// `problems`, with file, line and column.
    pub fn with(folder: &Path, problems: &mut Problems) -> Self {
        let mut shelf = Self::shipped();
        shelf.folder = Some(folder.to_owned());
        shelf.strangers(problems);
        let mut unread = shelf.unread(problems);
        while let Some(name) = unread.keys().next().cloned() {
            shelf.take(&name, &mut unread, &mut Vec::new(), problems);
        }
        shelf.take_measured(problems);
        shelf
    }

    /// The shelf for a job in `folder`: with the folder `shop` in it, where there is one.
    pub fn beside(folder: &Path, problems: &mut Problems) -> Self {
        let own = folder.join(FOLDER);
        if files::is_folder(&own) { Self::with(&own, problems) } else { Self::shipped() }
    }

    /// The person's own folder; none where there is none.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// Every wood, by name.
    pub fn woods(&self) -> Vec<Wood> {
        self.woods.values().map(|stocked| stocked.wood.clone()).collect()
    }

    /// Every wood with its tables and files, by name.
    pub fn stocked(&self) -> impl Iterator<Item = &Stocked> {
        self.woods.values()
    }

    /// Names of the woods, in order.
    pub fn wood_names(&self) -> Vec<&str> {
        self.woods.keys().map(String::as_str).collect()
    }

    /// Names of the machines, in order, shipped and own.
    pub fn machine_names(&self) -> Vec<String> {
        self.all_names("machines", names(&MACHINES).into_iter().map(str::to_owned).collect())
    }

    /// Names of the posts, in order, shipped and own.
    pub fn post_names(&self) -> Vec<String> {
        self.all_names("posts", Post::shipped())
    }

    /// The file that a machine or post of this name comes from.
    pub fn file_of(&self, folder: &str, name: &str) -> String {
        let shipped = if folder == "posts" { "post".to_owned() } else { format!("post/{folder}") };
        match self.own_file(folder, name) {
            Some(path) => path.to_string_lossy().into_owned(),
            None => format!("{shipped}/{name}.yaml"),
        }
    }

    fn all_names(&self, folder: &str, mut names: Vec<String>) -> Vec<String> {
        names.extend(self.own_names(folder));
        names.sort();
        names.dedup();
        names
    }

    /// Names of the person's own files in one of the folders.
    fn own_names(&self, folder: &str) -> Vec<String> {
        let Some(own) = &self.folder else { return Vec::new() };
        let entries = files::list(&own.join(folder)).unwrap_or_default();
        entries.iter().filter_map(|(name, _)| name.strip_suffix(".yaml").map(str::to_owned)).collect()
    }

    /// The person's own file of this name, where there is one. A name is no way into another folder.
    fn own_file(&self, folder: &str, name: &str) -> Option<PathBuf> {
        let own = self.folder.as_ref()?;
        self.own_names(folder).iter().any(|known| known == name).then(|| {
            let folder = own.join(folder);
            folder.join(format!("{name}.yaml"))
        })
    }

    /// Warns of what lies in the folder and is not looked at.
    fn strangers(&self, problems: &mut Problems) {
        let Some(own) = &self.folder else { return };
        let stranger = |path: PathBuf, hint: String| {
            let message = "nothing is taken from this: the shop does not know what it is";
            Problem::warning("unknown-in-shop", message).in_file(path.to_string_lossy()).hint(hint)
        };
        let passed_over = |name: &str| name.starts_with('.') || name.to_lowercase().starts_with("readme");
        for (name, _) in files::list(own).unwrap_or_default() {
            if !FOLDERS.contains(&name.as_str()) && !passed_over(&name) {
                problems.push(stranger(own.join(&name), yaml::nearest(&name, &FOLDERS)));
            }
        }
        for folder in FOLDERS {
            for (name, _) in files::list(&own.join(folder)).unwrap_or_default() {
                if name.strip_suffix(".yaml").is_none() && !passed_over(&name) {
                    problems
                        .push(stranger(own.join(folder).join(&name), "its files end in .yaml".to_owned()));
                }
            }
        }
    }

    /// The files of the person's own woods as trees.
    fn unread(&self, problems: &mut Problems) -> BTreeMap<String, Unread> {
        let mut unread = BTreeMap::new();
        for name in self.own_names("tables") {
            let Some(path) = self.own_file("tables", &name) else { continue };
            if let Some((file, node)) = tree(&path, problems) {
                let extends = wood::extends(&node);
                unread.insert(name, Unread { file, node, extends });
            }
        }
        unread
    }

    /// Takes a person's own wood in, after the one that it extends.
    fn take(
        &mut self,
        name: &str,
        unread: &mut BTreeMap<String, Unread>,
        chain: &mut Vec<String>,
        problems: &mut Problems,
    ) {
        let Some(Unread { file, node, extends }) = unread.remove(name) else { return };
        let mut files = Vec::new();
        let mut base = None;
        if let Some((under, place)) = extends {
            let wrong = |code, message: String, hint: String| {
                Problem::error(code, message).in_file(&*file).at_line(place.0, place.1).hint(hint)
            };
            if chain.contains(&under) {
                let message = format!("'{name}' and '{under}' extend each other");
                problems.push(wrong("extends-itself", message, "let one of them stand alone".to_owned()));
                return;
            }
            chain.push(name.to_owned());
            if under != name {
                self.take(&under, unread, chain, problems);
            }
            chain.pop();
            let Some(stocked) = self.woods.get(&under) else {
                if self.own_file("tables", &under).is_some() {
                    // What is wrong with it has been told.
                    return;
                }
                let message = format!("there is no wood '{under}' to extend");
                problems.push(wrong("unknown-wood", message, yaml::nearest(&under, &self.wood_names())));
                return;
            };
            files.clone_from(&stocked.files);
            base = Some((stocked.wood.clone(), stocked.tables.clone()));
        }
        if let Some((wood, tables)) = wood::laid_over(name, node, &file, base.as_ref(), problems) {
            files.push(file);
            self.woods.insert(name.to_owned(), Stocked { wood, tables, files });
        }
    }

    /// Lays what was measured over the woods.
    fn take_measured(&mut self, problems: &mut Problems) {
        for name in self.own_names("measured") {
            let Some(path) = self.own_file("measured", &name) else { continue };
            let Some((file, node)) = tree(&path, problems) else { continue };
            let Some(stocked) = self.woods.get(&name) else {
                let message = format!("there is no wood '{name}' that this was measured on");
                let hint = yaml::nearest(&name, &self.wood_names());
                problems.push(Problem::error("unknown-wood", message).in_file(file).hint(hint));
                continue;
            };
            let base = (stocked.wood.clone(), stocked.tables.clone());
            let mut files = stocked.files.clone();
            if let Some((wood, tables)) = wood::laid_over(&name, node, &file, Some(&base), problems) {
                files.push(file);
                self.woods.insert(name, Stocked { wood, tables, files });
            }
        }
    }

    /// A machine by its name, one's own first, or by the path of its file (ending in `.yaml`), relative to `folder`.
    /// Everything wrong with it is added to `problems`; none comes back where it cannot be used.
    pub fn machine(&self, machine: &str, folder: &Path, problems: &mut Problems) -> Option<Machine> {
        let (file, node) = self.machine_tree(machine, folder, &mut Vec::new(), problems)?;
        let path = Path::new(machine);
        let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or(machine);
        let name = if is_path(machine) { stem } else { machine };
        machine::read::from_tree(name, node, &file, problems)
    }

    /// The tree of a machine's file laid over those that it extends.
    fn machine_tree(
        &self,
        name: &str,
        folder: &Path,
        chain: &mut Vec<PathBuf>,
        problems: &mut Problems,
    ) -> Option<(String, Node)> {
        let own = if is_path(name) { Some(folder.join(name)) } else { self.own_file("machines", name) };
        let Some(path) = own.filter(|path| is_path(name) || !chain.contains(path)) else {
            let Some(file) = MACHINES.get_file(format!("{name}.yaml")) else {
                problems.push(self.unknown_machine(name));
                return None;
            };
            let shipped = format!("post/machines/{name}.yaml");
            let node = yaml::parse(file.contents_utf8().unwrap_or_default(), &shipped, problems)?;
            return Some((shipped, node));
        };
        let text = match files::read_text(&path) {
            Ok(text) => text,
            Err(error) => {
                let file = path.to_string_lossy();
                problems.push(Problem::error("unreadable-machine", error.to_string()).in_file(file));
                return None;
            }
        };
        let file = if is_path(name) { name.to_owned() } else { path.to_string_lossy().into_owned() };
        let node = yaml::parse(&text, &file, problems)?;
        let Some((under, place)) = wood::extends(&node) else { return Some((file, node)) };
        if chain.len() >= LONGEST_CHAIN || (is_path(&under) && chain.contains(&path)) {
            let told = Problem::error("extends-itself", "too many machines extend each other");
            problems.push(told.in_file(file).at_line(place.0, place.1));
            return None;
        }
        let beside = path.parent().unwrap_or(folder).to_owned();
        chain.push(path);
        let (_, base) = self.machine_tree(&under, &beside, chain, problems)?;
        Some((file, yaml::overlay(base, node)))
    }

    fn unknown_machine(&self, machine: &str) -> Problem {
        let names = self.machine_names();
        let known: Vec<&str> = names.iter().map(String::as_str).collect();
        let near = yaml::nearest(machine, &known);
        let hint = format!("{near}; a machine of your own is named by its file, such as mine.yaml");
        Problem::error("unknown-machine", format!("there is no machine '{machine}'")).hint(hint)
    }

    /// A post by its name, one's own first, or by the path of its file, relative to `folder`.
    pub fn post(&self, name: &str, folder: &Path, problems: &mut Problems) -> Option<Post> {
        let own = self.folder.as_ref().map(|own| own.join("posts"));
        Post::open_among(name, folder, own.as_deref(), problems)
    }

    /// The workshop with one machine, and its post or another. Everything wrong is added to `problems`; none comes back
    /// where nothing could be cut with it.
    pub fn shop(
        &self,
        machine: &str,
        post: Option<&str>,
        folder: &Path,
        problems: &mut Problems,
    ) -> Option<Shop> {
        let machine = self.machine(machine, folder, problems)?;
        let post = match post.map(str::to_owned).or_else(|| machine.post.clone()) {
            Some(name) => Some(self.post(&name, folder, problems)?),
            None => None,
        };
        let tables = self.woods.iter().map(|(name, stocked)| (name.clone(), stocked.tables.clone()));
        Some(Shop { woods: self.woods(), machine, post, tables: tables.collect() })
    }
}

fn is_path(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|e| e == "yaml" || e == "yml")
}

/// A person's own file as a tree, with its name.
fn tree(path: &Path, problems: &mut Problems) -> Option<(String, Node)> {
    let file = path.to_string_lossy().into_owned();
    match files::read_text(path) {
        Ok(text) => yaml::parse(&text, &file, problems).map(|node| (file, node)),
        Err(error) => {
            problems.push(Problem::error("unreadable-table", error.to_string()).in_file(file));
            None
        }
    }
}
