//! Pictures of the page for the README: `make screens`.

use crate::page::Screen;
use crate::site::Site;

#[test]
#[ignore = "writes pictures and proves nothing: `make screens`"]
fn screens() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.part(".page").shows("Halfturn");
        println!("{}", page.picture("jobs").display());
    });
}
