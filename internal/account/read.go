package account

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
)

// Head is what a later conversion needs of an account.
type Head struct {
	Edition struct {
		Name   string `json:"name"`
		SHA256 string `json:"sha256"`
	} `json:"edition"`
	Settings map[string]json.RawMessage `json:"settings"`
	Splits   []int                      `json:"-"` // lines of the edition that go on a word of the line before
}

// Read reads first and last line of an account and makes sure that its bytes
// are those it was written with. Whether it is true is for the check to prove.
func Read(data []byte) (Head, error) {
	var h Head
	body := bytes.TrimSuffix(data, []byte{'\n'})
	cut := bytes.LastIndexByte(body, '\n')
	first, _, _ := bytes.Cut(data, []byte{'\n'})
	if cut < 0 || len(body) == len(data) || json.Unmarshal(first, &h) != nil {
		return h, fmt.Errorf("the account is cut off or is none of this program")
	}
	var tail struct {
		Splits []int  `json:"splits"`
		SHA256 string `json:"sha256"`
	}
	sum := sha256.Sum256(data[:cut+1])
	if json.Unmarshal(body[cut+1:], &tail) != nil || tail.SHA256 != hex.EncodeToString(sum[:]) {
		return h, fmt.Errorf("the account was changed after it was made")
	}
	h.Splits = tail.Splits
	return h, nil
}
