use super::{Board, Label, Seat, TEXT, Tilted};
use crate::drawing::paper::Area;
use crate::drawing::shapes::{Type, Xy};

fn label(text: &str) -> Label {
    Label::new(Type::plain(6.0), [text.to_owned()])
}

fn board() -> Board {
    Board::new(Area {
        corner: Xy::ZERO,
        size: Xy::new(200.0, 200.0),
    })
}

#[test]
fn turned_rectangles_overlap_by_their_shape_not_by_their_box() {
    let slanted = Tilted::line(Xy::new(0.0, 0.0), Xy::new(100.0, 100.0), 2.0);
    assert!(slanted.overlaps(&Tilted::around(Xy::new(50.0, 52.0), 3.0)));
    assert!(!slanted.overlaps(&Tilted::around(Xy::new(80.0, 20.0), 3.0)));
}

#[test]
fn the_second_label_of_a_place_moves_aside() {
    let mut board = board();
    let at = Xy::new(100.0, 100.0);
    let label = label("flag");
    let seats = || label.around(at, 2.0, Xy::ACROSS);
    let (first, _) = board.seat(&label, seats()).expect("seats");
    let (second, _) = board.seat(&label, seats()).expect("seats");
    assert!(first.center.x > at.x, "the wished side comes first");
    assert!(!label.covers(first).overlaps(&label.covers(second)));
}

#[test]
fn a_label_stays_on_the_paper() {
    let mut board = board();
    let label = label("a corner at the edge");
    let (seat, _) = board
        .seat(&label, label.around(Xy::new(195.0, 5.0), 2.0, Xy::ACROSS))
        .expect("seats");
    assert!(board.cost(&label.covers(seat)) < TEXT + 1.0);
}

#[test]
fn the_first_of_equal_seats_is_taken() {
    let seats = [1.0, 2.0].map(|x| Seat {
        center: Xy::new(x, 0.0),
        along: Xy::ACROSS,
    });
    let taken = Board::cheapest(seats, |_| 0.0).expect("seats");
    assert!((taken.center.x - 1.0).abs() < 1e-12);
}
