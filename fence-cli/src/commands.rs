//! The list of verbs, and dispatch.

mod batch;
mod deed;
mod fit;
mod offset;
mod posts;
mod schema;
mod sheet;
mod square;
mod takeoff;
mod tie;

use std::io::Write;

use clap::{Parser, Subcommand};

use crate::Exit;

/// Survey and layout arithmetic for fences: from a deed or property pins to a
/// sheet a crew can build from
#[derive(Parser, Debug)]
#[command(name = "fence", version, arg_required_else_help = true)]
pub(crate) struct Program {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand, Debug)]
enum Verb {
    Batch(batch::BatchArgs),
    Deed(deed::DeedArgs),
    Fit(fit::FitArgs),
    Offset(offset::OffsetArgs),
    Posts(posts::PostsArgs),
    Schema(schema::SchemaArgs),
    Sheet(sheet::SheetArgs),
    Square(square::SquareArgs),
    Takeoff(takeoff::TakeoffArgs),
    Tie(Box<tie::TieArgs>),
}

/// Runs the verb that was asked for.
pub(crate) fn dispatch(program: &Program, out: &mut dyn Write) -> anyhow::Result<Exit> {
    match &program.verb {
        Verb::Batch(args) => batch::batch(args, out),
        Verb::Deed(args) => deed::deed(args, out),
        Verb::Fit(args) => fit::fit(args, out),
        Verb::Offset(args) => offset::offset(args, out),
        Verb::Posts(args) => posts::posts(args, out),
        Verb::Schema(args) => schema::schema(args, out),
        Verb::Sheet(args) => sheet::sheet(args, out),
        Verb::Square(args) => square::square(args, out),
        Verb::Takeoff(args) => takeoff::takeoff(args, out),
        Verb::Tie(args) => tie::tie(args, out),
    }
}
