//! Figures with decimals for people: there is no minus zero.

/// A figure with so many decimals.
pub(crate) fn decimals(value: f64, places: usize) -> String {
    without_minus_zero(format!("{value:.places$}"), "")
}

/// A figure with so many decimals and its sign.
pub(crate) fn signed_decimals(value: f64, places: usize) -> String {
    without_minus_zero(format!("{value:+.places$}"), "+")
}

fn without_minus_zero(text: String, plus: &str) -> String {
    let digits = text.strip_prefix('-').unwrap_or_default();
    if !digits.is_empty() && digits.chars().all(|c| matches!(c, '0' | '.')) {
        format!("{plus}{digits}")
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_has_no_minus() {
        assert_eq!(decimals(-0.004, 2), "0.00");
        assert_eq!(decimals(-0.006, 2), "-0.01");
        assert_eq!(signed_decimals(-0.004, 2), "+0.00");
        assert_eq!(signed_decimals(0.5, 1), "+0.5");
        assert_eq!(signed_decimals(-1.0, 0), "-1");
    }
}
