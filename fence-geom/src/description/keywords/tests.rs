use super::{SPELLINGS, known};

#[test]
fn the_table_is_in_order_so_that_every_spelling_is_found() {
    for pair in SPELLINGS.windows(2) {
        assert!(pair[0].0 < pair[1].0, "{pair:?}");
    }
    for (spelling, word) in SPELLINGS {
        assert_eq!(known(spelling), word);
        assert_eq!(known(&spelling.to_uppercase()), word);
    }
    assert_eq!(known("oak"), "");
    assert_eq!(known("incontrovertibilities"), "");
}
