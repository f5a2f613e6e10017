package check

import "continuo/internal/cell"

// Invented titles, small enough to be followed by eye. The cells are braille
// as the trade writes it; the layouts are those of UK and North American paper
// pages (common practice).

const uk1 = `          ,! ,s1 ,tale
            0,nora ,v9e

         ,9 two volumes
           ,volume #a


` + "\f" + `               ,3t5ts

,*apt] ,"o '''''''''''''''' #b
,*apt] ,two ''''''''''''''' #c

` + "\f" + `       ,! ,s1 ,tale           #a

         ,*apt] ,"o

  ,! lamp on ! sea wall 0 n lit
t ni<t4 ,nora c.d hr ! wat] move un-
d] ! qu>t1 & %e k5 t ! boat was g"o4
  ,%e sat d{n6all *s1 & wait$4
       ,! ,s1 ,tale           #b
` + "\f" + `       ,! ,s1 ,tale           #c
  ,no"o came4 ,! tide turn$ at #aj
o'clock1 & wi? x came a s.d ( o>s4

   ,5d ( ,volume #a
`

const uk2 = `          ,! ,s1 ,tale
            0,nora ,v9e

         ,9 two volumes
           ,volume #b

` + "\f" + `       ,! ,s1 ,tale           #d

         ,*apt] ,two

  ,"! 0 a lant]n 9 ! bo{ ( ! boat4
,x _m a wide y.e ;ell[ r+ on ! wat]4
       "33333333333
   ,notes
#a4 ,quay is sd key4

   ,! 5d
`

// sea is a UK title in two volumes: heads at the top and once at the foot, a
// word divided at a line end, contents by volume page, a note moved behind the
// text, a print page turn known from the head only.
func sea() *triple {
	return &triple{
		name:    "sea",
		sources: []raw{{"v1.brf", uk1}, {"v2.brf", uk2}},
		reasons: map[string]string{"st": "statement", "fi": "filler", "c": "contents", "cn": "contents-number", "h": "head", "rj": "rejoin", "ve": "volume-end",
			"tr": "title-repeat", "vs": "volume-statement", "tu": "turn", "m": "marker", "n": "notes"},
		records: []string{
			`["keep",3]`,
			`["swap",2,",3t9u\"\\s ,brl ,$i;n","st"]`,
			`["out",2,"fi"]`,
			`["keep",2]`,
			`["keep-cells",10]`, `["out-cells",20,"cn"]`,
			`["keep-cells",11]`, `["out-cells",19,"cn"]`,
			`["keep",1]`,
			`["out",1,"h"]`,
			`["out",1,"fi"]`,
			`["keep",3]`,
			`["keep-cells",35]`, `["out-cells",1,"rj"]`,
			`["join","rj"]`,
			`["keep",2]`,
			`["out",2,"h"]`,
			`["add","\"3#c","tu"]`,
			`["keep",2]`,
			`["out",1,"fi"]`,
			`["out",1,"ve"]`,
			`["out",2,"tr"]`,
			`["out",1,"fi"]`,
			`["out",2,"vs"]`,
			`["out",1,"fi"]`,
			`["out",1,"h"]`,
			`["keep",5]`,
			`["out",1,"m"]`,
			`["at",2,16]`,
			`["keep",2]`,
			`["blank","n"]`,
			`["move",2,14,"n"]`,
			`["keep",2]`,
		},
		edition: []string{
			"          ,! ,s1 ,tale",
			"            0,nora ,v9e",
			"",
			"    ,3t9u\"\\s ,brl ,$i;n",
			"    ,3t5ts",
			"",
			",*apt] ,\"o",
			",*apt] ,two",
			"",
			"    ,*apt] ,\"o",
			"",
			"  ,! lamp on ! sea wall 0 n lit t",
			"ni<t4 ,nora c.d hr ! wat] move und]",
			"! qu>t1 & %e k5 t ! boat was g\"o4",
			"  ,%e sat d{n6all *s1 & wait$4",
			"  \"3#c ,no\"o came4 ,! tide turn$ at",
			"#aj o'clock1 & wi? x came a s.d (",
			"o>s4",
			"",
			"    ,*apt] ,two",
			"",
			"  ,\"! 0 a lant]n 9 ! bo{ ( ! boat4",
			",x _m a wide y.e ;ell[ r+ on ! wat]4",
			"",
			"   ,! 5d",
			"",
			"   ,notes",
			"#a4 ,quay is sd key4",
		},
	}
}

const na1 = `;p#a             HILL WALKS
                 HILL WALKS

               VOLUME 1 OF 3
` + "\f" + `HILL WALKS                        #A

  ,A PATH LEADS PAST THE OLD MILL AND

UP TO THE RIDGE4 ,KEEP THE WALL ON

----------------------------------#BA

YOUR LEFT UNTIL THE GATE4 ,THE PATH

IS MARKED WITH WHITE PAINT ON ROCKS4
` + "\f" + `HILL WALKS                        #B

  ,FROM THE GATE THE VIEW IS WIDE4 #BC

7777777777777777777777777777777777

  ,TURN BACK IF CLOUDS COME DOWN4

` + "\f" + `  ,ON THE FAR SIDE A TRACK GOES   #C

DOWN TO WWW4HILLWALKSANDMOUNTAIN"

PATHS4ORG THE WEB PLACE OF THE CLUB4

---------

          END OF VOLUME 1
`

// hill is North American, in one volume of three: upper-case, double-spaced,
// corners shared with text, a print page row made shorter, an address divided
// with a continuation sign, a word too long for the line.
func hill() *triple {
	return &triple{
		name:    "hill",
		sources: []raw{{"HILL1.BRF", na1}},
		reasons: map[string]string{"h": "head", "st": "statement", "fi": "filler", "sp": "spacing", "tu": "turn", "r": "rule", "pn": "page-number", "co": "continuation", "ve": "volume-end"},
		records: []string{
			`["out",1,"h"]`, `["keep",1]`, `["out",1,"fi"]`, `["swap",1,"3t9u\\s $i;n","st"]`,
			`["out",1,"h"]`, `["out",1,"sp"]`,
			`["double",2,"sp"]`,
			`["swap",1,"---#ba","tu"]`, `["out",1,"sp"]`,
			`["keep",1]`, `["out",1,"sp"]`, `["keep",1]`,
			`["out",1,"h"]`, `["out",1,"sp"]`,
			`["double",1,"sp"]`,
			`["swap",1,"777777777777","r"]`, `["out",1,"sp"]`,
			`["double",1,"sp"]`,
			`["keep-cells",31]`, `["out-cells",5,"pn"]`, `["out",1,"sp"]`,
			`["keep-cells",32]`, `["out-cells",1,"co"]`, `["out",1,"sp"]`, `["join","co"]`,
			`["double",1,"sp"]`,
			`["keep",2]`,
			`["out",1,"ve"]`,
		},
		edition: []string{
			"                 hill walks",
			"    3t9u\\s $i;n",
			"  ,a path leads past the",
			"old mill and up to the",
			"ridge4 ,keep the wall on",
			"---#ba",
			"your left until the gate4",
			",the path is marked with",
			"white paint on rocks4",
			"  ,from the gate the view",
			"is wide4 #bc",
			"777777777777",
			"  ,turn back if clouds",
			"come down4",
			"  ,on the far side a track",
			"goes down to",
			"www4hillwalksandmountainpa",
			"ths4org the web place of",
			"the club4",
			"---------",
			"",
		},
		splits:   []int{18},
		crlf:     true,
		settings: map[string]any{"width": 26, "Turns": "row"},
	}
}

const song1 = `            ,songs ( ! mill

             ,"o volume
` + "\f" + `#ab                            ;i

  ,wat] d{n ! :eel & ov] ! /"o1
    r.d & r.d & n"e al"o2
  ,! mill] s+s to hmf at ni<t1
    ! grey cat sits 9 ! l
    a/ li<t4
`

const song2 = `#ac  ,songs ( ! mill           #a

  ,a h&ful ( gra9 is a h&ful ` + "\x9c" + ` bread1
    /"os do n sleep
  ,tell ! child to go to b$2 8,wait1
    ,i hear !m keep
  wat4*0 he sd4
` + "\f" + `       ,songs ( ! mill           #b

  ,! l/ ( ! songs4
`

// song is verse in two volumes, the first in Unicode braille, the second there
// twice and with a byte that is no cell: runovers, a print page turn in the
// middle of a line, matter of a volume moved to the front.
func song() *triple {
	return &triple{
		name:    "song",
		sources: []raw{{"1.txt", unicodeBraille(song1)}, {"2.brf", song2}, {"2 copy.brf", song2}},
		reasons: map[string]string{"h": "head", "st": "statement", "fi": "filler", "tu": "turn", "d": "duplicate", "p": "prelims", "pn": "page-number"},
		records: []string{
			`["keep",1]`, `["out",1,"fi"]`, `["swap",1,"3t9u\"\\s ,brl ,$i;n","st"]`,
			`["out",1,"pn"]`, `["keep",6]`,
			`["out",1,"h"]`, `["out",1,"fi"]`,
			`["keep-cells",11]`, `["add","\"3#ac","tu"]`, `["keep-cells",26]`, `["keep",3]`,
			`["keep-cells",8]`, `["keep-cells",7]`,
			`["out",1,"h"]`, `["out",1,"fi"]`, `["keep",1]`,
			`["out",10,"d"]`,
		},
		edition: []string{
			"            ,songs ( ! mill",
			"    3t9u\"\\s ,brl ,$i;n",
			"",
			"  ,wat] d{n ! :eel & ov] !",
			"      /\"o1",
			"    r.d & r.d & n\"e al\"o2",
			"  ,! mill] s+s to hmf at",
			"      ni<t1",
			"    ! grey cat sits 9 ! l",
			"    a/ li<t4",
			"  ,a h&ful \"3#ac ( gra9 is",
			"      a h&ful \x9c bread1",
			"    /\"os do n sleep",
			"  ,tell ! child to go to",
			"      b$2 8,wait1",
			"    ,i hear !m keep",
			"  wat4*0 he sd4",
			"  ,! l/ ( ! songs4",
		},
		settings: map[string]any{"width": 26},
	}
}

// unicodeBraille writes canonical cells as UTF-8 braille.
func unicodeBraille(s string) string {
	out := []rune{}
	for _, c := range []byte(s) {
		if c == '\n' || c == '\f' {
			out = append(out, rune(c))
		} else {
			c, _ = cell.Fold(c)
			out = append(out, cell.Rune(c))
		}
	}
	return string(out)
}
