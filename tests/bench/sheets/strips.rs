//! Strips.

use std::time::Instant;

use grainwise::geometry::Point;
use grainwise::stages::sheet::search::{StripPart, strip};

struct Set {
    name: String,
    width: f64,
    parts: Vec<StripPart>,
    area: f64,
}

fn set(folder: &str, name: &str) -> Set {
    let text = std::fs::read_to_string(format!("{folder}/{name}.json")).unwrap();
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let number = |v: &serde_json::Value| v.as_f64().unwrap();
    let mut area = 0.0;
    let parts = value["parts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| {
            let outline: Vec<Point> = part["outline"]
                .as_array()
                .unwrap()
                .iter()
                .map(|p| Point::new(number(&p[0]), number(&p[1])))
                .collect();
            let copies = part["copies"].as_u64().unwrap() as usize;
            let next = |i: usize| outline[(i + 1) % outline.len()];
            let a: f64 =
                outline.iter().enumerate().map(|(i, p)| p.x * next(i).y - p.y * next(i).x).sum::<f64>() / 2.0;
            area += a.abs() * copies as f64;
            let turned = outline.iter().map(|p| Point::new(-p.x, -p.y)).collect();
            StripPart { copies, ways: vec![outline, turned] }
        })
        .collect();
    Set { name: name.to_owned(), width: number(&value["strip_width"]), parts, area }
}

pub(super) fn run() {
    let args: Vec<String> = std::env::args().collect();
    let folder = "/work/shared/nesting";
    let seconds: f64 = std::env::var("SECS").ok().and_then(|s| s.parse().ok()).unwrap_or(10.0);
    for name in ["albano", "blaz1", "dagli", "shapes1", "shirts", "swim", "trousers"] {
        if args.len() > 4 && !args.iter().any(|a| a == name) {
            continue;
        }
        let set = set(folder, name);
        let start = Instant::now();
        let cpu = || {
            let text = std::fs::read_to_string("/proc/self/stat").unwrap();
            let fields: Vec<&str> = text.rsplit(')').next().unwrap().split_whitespace().collect();
            (fields[11].parse::<f64>().unwrap() + fields[12].parse::<f64>().unwrap()) / 200.0
        };
        let before = cpu();
        let gone = || (cpu() - before) / seconds;
        let (length, _, tried) = strip(&set.parts, set.width, 1, None, &gone);
        println!(
            "{:10} {:.2} %  tried {:.0} k/s  {:.0} s wall",
            set.name,
            100.0 * set.area / (set.width * length),
            tried as f64 / 1e3 / seconds,
            start.elapsed().as_secs_f64()
        );
    }
}
