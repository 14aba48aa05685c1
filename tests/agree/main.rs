//! Every place of a record says the same of the same thing, and says what is true.

mod shop;
