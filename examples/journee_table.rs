//! Prints measured against computed responses of the Wigley hulls (Journee 1992): the page `tests/physics/journee.md`.

#[allow(dead_code)]
#[path = "../tests/physics/wigley.rs"]
mod wigley;

fn main() {
    print!("{}", wigley::document());
}
