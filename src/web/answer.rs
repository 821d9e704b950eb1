//! The answer on the page: a verdict in a sentence, and why.

use super::elements::Elements;
use super::work::Work;
use crate::answers::report::JoinReport;

/// Writes the verdict and its reasons.
pub fn show(work: &Work, page: &Elements) {
    let Some(join) = work.join_report() else { return };
    page.say("verdict", &join.message);
    page.mark("verdict", "data-verdict", word(join));
    page.mark("verdict", "data-basis", &join.basis);
    page.say("checking", standing(work, work.size));
    let rings = work.size_report().map_or(0, |size| size.springback_rings);
    page.reveal("springback-fitted", rings > 0);
    if rings > 0 {
        let own = work.forming().map_or(0.0, |forming| forming.setting.springback);
        let words = format!(
            "Springback is fitted to trial rings ({rings}): {}, in place of the figure above.",
            work.length(own)
        );
        page.say("springback-fitted", &words);
    }
    page.list("reasons", "li", join.reasons.iter().map(|reason| reason.message.as_str()));
}

/// The verdict in a word, as the stylesheet knows it.
pub fn word(join: &JoinReport) -> &'static str {
    join.verdict.word()
}

/// How far the answer to a join has come, where it has not come to its end.
pub fn standing(work: &Work, index: usize) -> &'static str {
    if work.unprovable {
        "This browser could not check it: the estimate stands."
    } else if work.is_open(index) {
        "Checking…"
    } else {
        ""
    }
}
