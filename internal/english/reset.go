package english

// Reset closes every mode that the last text left open (a capital passage, a
// grade 1 passage), so that the next text is read as one of its own. What the
// reader remembers of chunks stays.
func (r *Reader) Reset() { r.mode = modes{} }
