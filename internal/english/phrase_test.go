package english

import "testing"

func TestQuick(t *testing.T) {
	for _, l := range []string{",3t5ts", ",ta# ( ,3t5ts", ",volume ,\"o", ",,volume ,,\"o", ",,,5d ( volume,' #a", ",5d (! volume", "@.<,! ,5d@.>", "\"<3t4\">", ",3t5ts 73t47", ",brl pages ;t#a-;t#d1 ;p#a-;p#f & #a-ij", ",volume #a ( #c", ",transcrib$ 0,john", ",*apt] ,,iv", ",transcrib]'s ,notes", ",*apt] twenty-\"o", ",*apt] #d ,! ,/orm", ",9 ,? ,volume", ",,3t5ts \"\"\"\"\"\"\"\" ,,volume ,i", ",f/ ,volume", ",9 ,\"o ,volume", "! cat", "5d", ",appendix ;,b"} {
		p, ok := Lookup([]byte(l))
		q, ok2 := Prefix([]byte(l))
		t.Logf("%q %v %+v tail %q | %v %+v tail %q", l, ok, p, p.Tail, ok2, q, q.Tail)
	}
}
func BenchmarkMiss(b *testing.B) {
	l := []byte(",! cat sat on ! mat & x 0 a gd d9n]")
	Lookup(l)
	b.ReportAllocs()
	for b.Loop() {
		Lookup(l)
	}
}
func BenchmarkBuild(b *testing.B) {
	for b.Loop() {
		buildLexicon()
	}
}
