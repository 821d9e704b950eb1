//! Finding and replacing parts of our own page's text. It knows the page as we write it:
//! attributes in double quotes, no `>` within them.

use super::BundleError;

/// Every tag of `html` that may load something, with its end tag where it is a script.
pub fn tags(html: &str) -> Vec<String> {
    let mut found = Vec::new();
    for name in ["<link ", "<script ", "<meta ", "<img ", "<source ", "<iframe ", "<object "] {
        for (start, _) in html.match_indices(name) {
            let rest = &html[start..];
            let Some(end) = rest.find('>') else { continue };
            let tag = &rest[..=end];
            let empty_script = rest[end + 1..].starts_with("</script>") && name == "<script ";
            let tag = if empty_script { &rest[..=end + "</script>".len()] } else { tag };
            found.push(tag.to_string());
        }
    }
    found
}

/// What stands after `open` up to `close`.
pub fn between<'a>(text: &'a str, open: &str, close: &str) -> Option<&'a str> {
    let rest = &text[text.find(open)? + open.len()..];
    Some(&rest[..rest.find(close)?])
}

/// `text` of `file` with the one `wanted` in it replaced.
pub fn swapped(
    file: &'static str,
    text: &str,
    wanted: &str,
    by: &str,
) -> Result<String, BundleError> {
    if text.matches(wanted).count() != 1 {
        return Err(BundleError::Unlike { file, wanted: wanted.into() });
    }
    Ok(text.replacen(wanted, by, 1))
}
