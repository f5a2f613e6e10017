package atomicfile

// syncDir does nothing: Windows cannot sync a folder, and its file systems
// journal renames.
func syncDir(string) error { return nil }
