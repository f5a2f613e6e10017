package assemble

import "continuo/internal/english"

func writePrint(s string, v english.Variant) ([]byte, error) {
	var out []byte
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 'A' && c <= 'Z' {
			if v.Capitals {
				out = append(out, ',')
			}
			c |= 0x20
		}
		out = append(out, c)
	}
	return out, nil
}
