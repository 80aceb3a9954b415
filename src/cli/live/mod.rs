//! The page that follows the job: served on this machine only, made anew whenever the job, a drawing or a table changes.

mod door;
mod made;
mod watched;

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use super::args::Show;
use super::{COULD_NOT, answer, progress, say};
use door::Door;
use made::Maker;
use watched::{UntilChanged, Watched};

/// How often the files are looked at: a change is on the page well within half a second.
const LOOK_EVERY: Duration = Duration::from_millis(80);

/// Serves the page until the person stops it.
pub(super) fn live(asked: &Show) -> u8 {
    progress::heed_interrupts();
    let mut maker = Maker::new(&asked.asked);
    let mut watched = Watched::of(&maker.files());
    let first = match made(&mut maker, &mut watched, 1) {
        Ok(page) => page,
        Err(why) => return say(&why),
    };
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, asked.port));
    let server = match tiny_http::Server::http(address) {
        Ok(server) => server,
        Err(error) => return say(&format!("cannot listen on {address}: {error}")),
    };
    let Some(address) = server.server_addr().to_ip() else { return COULD_NOT };
    let door = Arc::new(Door::new(address.port(), first));
    let told = answer(&format!("http://{address}/\n"));
    let serving = Arc::clone(&door);
    std::thread::spawn(move || serving.serve(&server));
    // Ctrl-C is how this ends well: it is heeded between two pages.
    progress::while_writing(|| follow(&mut maker, &mut watched, &door));
    told
}

/// The page of this number. Where other files than before are named it is made once more, from when those are watched:
/// one of them may have changed after it was read.
fn made(maker: &mut Maker<'_>, watched: &mut Watched, version: u64) -> Result<String, String> {
    let mut made = maker.make(version);
    if watched.turned_to(&maker.files()) {
        made = maker.make(version);
    }
    made.map(|(page, told)| {
        eprint!("{told}");
        page
    })
}

/// Makes the page anew whenever something changed, until the person stops it: first in haste, then, while nothing changes,
/// with the sheets as good as the job asks for.
fn follow(maker: &mut Maker<'_>, watched: &mut Watched, door: &Door) {
    while !progress::stopped() {
        std::thread::sleep(LOOK_EVERY);
        let next = door.version() + 1;
        if watched.changed() {
            if let Ok(page) = made(maker, watched, next) {
                door.show(page);
            }
        } else if let Some(page) = maker.better(next, &UntilChanged::of(watched)) {
            door.show(page);
        }
    }
}
