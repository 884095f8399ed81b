use clap::CommandFactory;

use crate::commands::Program;
use crate::contract::table::CONTRACTS;

#[test]
fn every_verb_but_schema_itself_has_a_contract() {
    let program = Program::command();
    let mut verbs: Vec<&str> = program
        .get_subcommands()
        .map(clap::Command::get_name)
        .collect();
    verbs.retain(|verb| *verb != "schema");
    verbs.sort_unstable();
    let mut known = CONTRACTS.map(|contract| contract.verb);
    known.sort_unstable();
    assert_eq!(verbs, known);
}

#[test]
fn every_verb_takes_json() {
    for verb in Program::command().get_subcommands() {
        let has = verb
            .get_arguments()
            .any(|arg| arg.get_long() == Some("json"));
        assert!(has, "{}", verb.get_name());
    }
}
