package shelf

import (
	"archive/zip"
	"bytes"
	"context"
	"strings"
	"time"
)

// packed is the time of every file in a download: the same titles give the same
// bytes.
var packed = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// Pack makes a download, a zip with the same folders, index and checksums as a
// card. Limit is for the bytes of the editions together, 0 for none.
func Pack(ctx context.Context, items []Item, o Options) ([]byte, *Result, error) {
	b := &build{o: o, card: &Card{}, res: &Result{}, have: map[string]Entry{}, loads: map[string]func() ([]byte, error){}, files: map[string]string{}}
	if _, err := o.Wishes.Variant(); err != nil {
		return nil, nil, err
	}
	chosen, fresh := b.choose(items)
	grouping := b.grouping(len(chosen))
	for key, p := range names(fresh, grouping, o.Wishes.Format, map[string]bool{}) {
		for i := range chosen {
			if chosen[i].Key == key {
				chosen[i].Path = p
			}
		}
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	c := &Card{Version: 1, Reader: o.Reader, Grouping: grouping, Wishes: o.Wishes}
	total := int64(0)
	for i, e := range b.todo(chosen) {
		if o.Progress != nil {
			o.Progress(i, len(chosen))
		}
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		data, err := b.loads[e.Key]()
		switch {
		case err != nil:
			b.res.Missing = append(b.res.Missing, Missing{e.Key, e.Title, strings.ReplaceAll(err.Error(), "\n", "; ")})
			continue
		case e.SHA256 != "" && sum(data) != e.SHA256:
			b.res.Missing = append(b.res.Missing, Missing{e.Key, e.Title, "its edition in the archive was changed since it was made"})
			continue
		}
		if total += int64(len(data)); o.Limit > 0 && total > o.Limit {
			return nil, nil, &Full{total, o.Limit}
		}
		e.SHA256, e.Bytes = sum(data), int64(len(data))
		c.Titles, b.files[e.Path] = append(c.Titles, e), e.SHA256
		b.res.Written = append(b.res.Written, e.Path)
		if err := put(z, e.Path, data); err != nil {
			return nil, nil, err
		}
	}
	c.Missing = b.res.Missing
	record := c.encode()
	index, err := c.index()
	if err != nil {
		return nil, nil, err
	}
	for _, x := range index {
		b.files[x.Path] = sum(x.Data)
		if err := put(z, x.Path, x.Data); err != nil {
			return nil, nil, err
		}
	}
	if err := put(z, sumsFile, sums(b.files)); err != nil {
		return nil, nil, err
	}
	if err := put(z, cardFile, record); err != nil {
		return nil, nil, err
	}
	if err := z.Close(); err != nil {
		return nil, nil, err
	}
	b.res.Titles, b.res.Bytes = len(c.Titles), int64(out.Len())
	return out.Bytes(), b.res, nil
}

func put(z *zip.Writer, name string, data []byte) error {
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: packed})
	if err == nil {
		_, err = w.Write(data)
	}
	return err
}
