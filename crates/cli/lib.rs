//! From a job file to answers and drawings.
