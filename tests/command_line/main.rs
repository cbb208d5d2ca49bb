//! The program as a person at a keyboard meets it: exit codes, words, files.

mod batch;
mod by_hand;
mod card;
mod causes;
mod drill;
mod help;
mod interrupted;
mod logbook;
mod mistakes;
mod preflight;
mod program;
mod radio;
mod rehearsal;
mod why;
