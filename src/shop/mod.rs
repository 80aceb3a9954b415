//! What a workshop owns: woods, feed and depth tables, cutters, machines, posts. Loads and checks what lies in `post/`.
//!
//! The shipped files are part of the program; a person's own folder is laid over them piece by piece (see [`shelf`]), and a
//! machine or post of one's own may also be named by the path of its file.

use std::collections::BTreeMap;
use std::path::Path;

use include_dir::{Dir, include_dir};

pub mod chip;
pub mod craft;
pub mod machine;
pub mod post;
pub mod schema;
pub mod shelf;
pub mod table;
pub mod wood;

pub use craft::{LaserCraft, LaserWish, RouterCraft, RouterWish, TabShape};
pub use machine::{Cutter, DrawingFormat, LayerStyle, Layers, Machine, Tool};
pub use post::Post;
pub use shelf::Shelf;
pub use table::{FitRow, Given, LaserSetting, RouterSetting, TabRule, Tables};
pub use wood::Wood;

use crate::problem::{Problem, Problems};
use crate::yaml;
use table::lookup::{self, Outside};

static MACHINES: Dir = include_dir!("$CARGO_MANIFEST_DIR/post/machines");
static TABLES: Dir = include_dir!("$CARGO_MANIFEST_DIR/post/tables");

/// The workshop: every wood with its tables, one machine, and the post that writes for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// Every wood, by name.
    pub woods: Vec<Wood>,
    /// The machine.
    pub machine: Machine,
    /// The post that writes its G-code; none where it takes drawings only.
    pub post: Option<Post>,
    tables: BTreeMap<String, Tables>,
}

/// Every wood that comes with the program, by name.
pub fn woods() -> Vec<Wood> {
    Shelf::shipped().woods()
}

/// Names of the machines that come with the program, in order.
pub fn machine_names() -> Vec<&'static str> {
    names(&MACHINES)
}

/// Names of the woods that come with the program, in order.
pub fn wood_names() -> Vec<&'static str> {
    names(&TABLES)
}

/// A shipped machine by its name, or a person's own by the path of its file (ending in `.yaml`), relative to `folder`.
/// Everything wrong with it is added to `problems`; none comes back where it cannot be used.
pub fn open_machine(machine: &str, folder: &Path, problems: &mut Problems) -> Option<Machine> {
    Shelf::default().machine(machine, folder, problems)
}

impl Shop {
    /// Opens the workshop that comes with the program: `machine` and `post` by shipped name, or by the path of a file ending
    /// in `.yaml`, relative to `folder`. Everything wrong is added to `problems`; none comes back where nothing could be cut
    /// with it.
    pub fn open(machine: &str, post: Option<&str>, folder: &Path, problems: &mut Problems) -> Option<Self> {
        Shelf::shipped().shop(machine, post, folder, problems)
    }

    /// A wood by its name.
    pub fn wood(&self, name: &str) -> Option<&Wood> {
        self.woods.iter().find(|wood| wood.name == name)
    }

    /// How the machine's beam cuts this wood.
    ///
    /// # Errors
    /// A problem where the machine is no laser, the wood is not known, or thickness or power lie outside its table.
    pub fn laser(&self, wood: &str, thickness_mm: f64) -> Result<LaserSetting, Problem> {
        let Tool::Laser { power_w } = self.machine.tool else {
            return Err(self.not_a("laser"));
        };
        let tables = self.tables_of(wood)?;
        let setting = lookup::laser(&tables.laser, thickness_mm, power_w)
            .map_err(|outside| outside_table(wood, "laser", &outside))?;
        let setting = LaserSetting { inside_more_mm: tables.laser_craft.inside_more_mm, ..setting };
        Ok(self.no_faster_than_the_machine(setting))
    }

    /// A machine that cannot move as fast as the table says gets less power, in the same measure.
    fn no_faster_than_the_machine(&self, mut setting: LaserSetting) -> LaserSetting {
        let fastest = self.machine.rapid_mm_min;
        let slow = |feed: &mut f64, power: &mut f64| {
            if *feed > fastest {
                *power *= fastest / *feed;
                *feed = fastest;
            }
        };
        slow(&mut setting.feed_mm_min, &mut setting.power);
        slow(&mut setting.score_feed_mm_min, &mut setting.score_power);
        slow(&mut setting.mark_feed_mm_min, &mut setting.mark_power);
        setting
    }

    /// How the machine cuts this wood with this cutter.
    ///
    /// # Errors
    /// A problem where the machine is no router, the wood is not known, thickness or cutter lie outside its table, or the
    /// cutter's flutes are too short.
    pub fn router(&self, wood: &str, thickness_mm: f64, cutter: &Cutter) -> Result<RouterSetting, Problem> {
        let Tool::Router { min_rpm, max_rpm, .. } = self.machine.tool else {
            return Err(self.not_a("router"));
        };
        let tables = self.tables_of(wood)?;
        let mut setting = lookup::router(&tables.router, thickness_mm, cutter, (min_rpm, max_rpm))
            .map_err(|outside| outside_table(wood, "router", &outside))?;
        if thickness_mm > cutter.flute_length_mm {
            let message = format!(
                "the {} mm cutter's flutes are {} mm long, too short for {thickness_mm} mm of {wood}",
                cutter.diameter_mm, cutter.flute_length_mm
            );
            let hint = "use a larger cutter, or thinner wood";
            return Err(Problem::error("cutter-too-short", message).hint(hint));
        }
        setting.feed_mm_min = setting.feed_mm_min.min(self.machine.rapid_mm_min);
        setting.plunge_mm_min = setting.plunge_mm_min.min(self.machine.rapid_mm_min);
        Ok(setting)
    }

    /// How pieces of this wood are held on the machine.
    ///
    /// # Errors
    /// A problem where the wood is not known or the thickness lies outside its table.
    pub fn tabs(&self, wood: &str, thickness_mm: f64) -> Result<TabRule, Problem> {
        let tables = self.tables_of(wood)?;
        let rows = if self.machine.is_laser() { &tables.laser_tabs } else { &tables.router_tabs };
        lookup::tabs(rows, thickness_mm).map_err(|outside| outside_table(wood, "tab", &outside))
    }

    /// How a cutter goes about this wood.
    ///
    /// # Errors
    /// A problem where the wood is not known.
    pub fn router_craft(&self, wood: &str) -> Result<RouterCraft, Problem> {
        self.tables_of(wood).map(|tables| tables.router_craft)
    }

    /// How a beam goes about this wood.
    ///
    /// # Errors
    /// A problem where the wood is not known.
    pub fn laser_craft(&self, wood: &str) -> Result<LaserCraft, Problem> {
        self.tables_of(wood).map(|tables| tables.laser_craft)
    }

    /// The same workshop, where this cutter goes so deep into this wood in one pass, and so deep in a score. None where the
    /// tables hold neither.
    #[must_use]
    pub fn with_pass(&self, wood: &str, thickness_mm: f64, cutter_mm: f64, pass_mm: f64) -> Option<Self> {
        let mut shop = self.clone();
        let rows = &mut shop.tables.get_mut(wood)?.router;
        let row = lookup::router_row(rows, thickness_mm, cutter_mm).ok()?;
        let score_depth = pass_mm / thickness_mm;
        *rows = vec![table::RouterRow { cutter_mm, thickness_mm, pass_mm, score_depth, ..row }];
        Some(shop)
    }

    /// The width that a cutter of this nominal diameter takes away in a wood, where it was measured, mm.
    pub fn measured_kerf(&self, wood: &str, cutter_mm: f64) -> Option<f64> {
        let rows = &self.tables.get(wood)?.router_kerf;
        // A thousandth of a millimetre: closer than cutters are made.
        rows.iter().find(|row| (row.cutter_mm - cutter_mm).abs() < 1e-3).map(|row| row.kerf_mm)
    }

    /// The fits measured on a wood of this thickness; none where nobody did.
    pub fn fit(&self, wood: &str, thickness_mm: f64) -> Option<FitRow> {
        let rows = &self.tables.get(wood)?.fits;
        rows.iter().find(|row| (row.thickness_mm - thickness_mm).abs() < 1e-3).copied()
    }

    fn tables_of(&self, wood: &str) -> Result<&Tables, Problem> {
        self.tables.get(wood).ok_or_else(|| unknown_wood(wood, &self.woods))
    }

    fn not_a(&self, tool: &str) -> Problem {
        Problem::error("wrong-machine", format!("the machine '{}' is no {tool}", self.machine.name))
    }
}

/// A problem that names the wood nearest to a name that is none.
pub fn unknown_wood(name: &str, woods: &[Wood]) -> Problem {
    let known: Vec<&str> = woods.iter().map(|wood| wood.name.as_str()).collect();
    Problem::error("unknown-wood", format!("there is no wood '{name}'")).hint(yaml::nearest(name, &known))
}

fn outside_table(wood: &str, table: &str, outside: &Outside) -> Problem {
    let Outside { what, unit, asked, holds } = outside;
    let message = format!("the {table} table of {wood} does not hold a {what} of {asked} {unit}");
    let hint = match holds {
        Some((least, most)) => format!("it holds {what} from {least} to {most} {unit}"),
        None => format!("it has no {table} table"),
    };
    Problem::error("outside-table", message).hint(hint)
}

fn names(dir: &'static Dir) -> Vec<&'static str> {
    let mut names: Vec<&str> = yaml_files(dir).map(|(name, _)| name).collect();
    names.sort_unstable();
    names
}

fn yaml_files(dir: &'static Dir) -> impl Iterator<Item = (&'static str, &'static str)> {
    dir.files().filter_map(|file| {
        let name = file.path().to_str()?.strip_suffix(".yaml")?;
        Some((name, file.contents_utf8()?))
    })
}
