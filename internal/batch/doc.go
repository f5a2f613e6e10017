// Package batch makes the editions of a whole archive and keeps the catalogue:
// it finds titles, converts what is new or changed on all cores, proves every
// edition, judges it, and can be stopped at any moment, by any means.
//
// Titles are written in groups, those of a group side by side, while the workers
// go on. Order of writes for each of them: the hashes of the files to be written go
// into the catalogue (pending); then the files appear, all of a title or none,
// each whole (internal/atomicfile); then the catalogue says that they are
// there. So a file that is there and that the catalogue does not know is either
// pending, and ours, or a person's, and is left alone. After a kill the next
// run makes again what the catalogue does not know; the bytes are the same,
// because a conversion depends on sources and settings alone.
//
// A run never writes to a source, and never deletes an edition.
package batch
