package triage

// SignKinds are the kinds of the signs against a title, each once.
func SignKinds(in Input) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range signs(in) {
		if !seen[s.kind] {
			seen[s.kind], out = true, append(out, s.kind)
		}
	}
	return out
}
