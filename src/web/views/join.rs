//! Every join of the chain: which size goes through which, and with how much room.

use super::{View, demonstration};
use crate::picture::Chapter;
use crate::web::answer::word;
use crate::web::elements::Elements;
use crate::web::work::Work;

pub const VIEW: View = View {
    id: "join",
    name: "Join",
    span: Some((Chapter::Fold.end(), 1.0)),
    picture: demonstration,
    show,
};

fn show(work: &Work, page: &Elements) {
    if let Some(join) = work.join_report() {
        page.say("figure-clearance", &work.length(join.least_clearance_mm));
        page.say("figure-margin", &work.length(join.margin_mm));
    }
    let Some(list) = page.element("joins") else { return };
    list.set_text_content(Some(""));
    for join in &work.report.joins {
        let head = if join.receiving == join.incoming {
            format!("{} through its own kind", join.incoming)
        } else {
            format!("{} through {}", join.incoming, join.receiving)
        };
        page.add(&list, "dt", &head);
        if let Some(answer) = page.add(&list, "dd", &join.says) {
            let _ = answer.set_attribute("data-verdict", word(join));
        }
    }
}
