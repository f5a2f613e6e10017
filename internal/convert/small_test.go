package convert_test

import "testing"

// TestSmallTitles converts very small volumes that once ended in an edition
// that could not be proved, or in an internal fault.
func TestSmallTitles(t *testing.T) {
	for _, c := range []struct {
		name   string
		v1, v2 string
		width  int
	}{
		{"page turn before the second of two statements", "            ,volume #b\n\"3#ab\n                    ,volume #b\n", "", 0},
		{"page turn before a number alone after a statement", "                ,volume #b\n           \"3#ai\n#af\n", "", 17},
		{"page turn before a rule that frames a statement", "\"3#ab\n     --------------------------------------\n          ,9 #c ,volumes\n", "", 51},
		{"page turn before the asterisks under a statement", "            ,volume #b\n\"3 #b\n      99 99 99\nput on h] be/ coat1 wrapp$ ! book 9 a\n", "", 0},
		{"page turn after the notes, at the end", "          ,notes\n,e %elf 0 full ( l$g]s f o!r f]ries1\n\f            ,notes\n     t#a\n       \"3#ai\n", "", 51},
		{"page turn at the end, a heading of notes before it", "  ,on m>ket \"ds \"! 7 s _m p t ! f]ry\n_h to g back = ! re/ ( !m4 ,\"o \"d a\n\f          ,notes\n\f#ab         ,! ,f]ry ,l$g]          #c\n                \"3#ac\n", "", 34},
		{"a word divided over two lines that hold nothing else", "a-\n;iv\n  ,e morn+ %e wrote d[n ! w1!r1 !\n", "", 0},
		{"asterisks under a statement in the text", ",\"s sd t he 0 look+ = tr1sure1 o!rs t\n\f                        ,3t5ts\n                    ,volume #b\ncross$ al\"o1 ) ! lant]n 9 ! b[4 ,he pd\n) a co9 t h] uncle _h n\"e se5 & did n\nl&+4\n    99 99 99\nno?+1 : made !m tru/ hm at once4 ,:at\n", "", 51},
		{"a rule above contents and a statement in the text", "             ,hannah ,r[e\n\f  ,! old f]ry cross$ ! riv] twice a \"d\n             ,3t5ts\n--------------------------------------\nto /& /4\n  ,on m>ket \"ds \"! 7 s _m p t ! f]ry\n_h to g back = ! re/ ( !m4\n            ,volume #b\n", "", 0},
		{"the second file has the title page, the first has none", "  ,on m>ket \"ds \"! 7 s _m p t ! f]ry\n_h to g back = ! re/ ( !m4 ,\"o \"d a\n\f", "\n           ,! ,f]ry ,l$g]\n\n            ,volume #b\n\f  ,! pa? 0 /eep & wet1 & by ! \"t %e\nr1*$ ! top h] %oes 7 full ( mud4\n", 38},
	} {
		t.Run(c.name, func(t *testing.T) { proved(t, []byte(c.v1), []byte(c.v2), c.width) })
	}
}
