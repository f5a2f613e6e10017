package ebraille

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"hash/crc32"
)

// firstDay is 1 January 1980, the first date that ZIP can tell: every file has
// it, so that the same publication is packed to the same bytes.
const firstDay = 1<<5 | 1

// Pack returns the publication as an EPUB container, whose file name must end
// in ".ebrl" (4.7). The file mimetype is first and stored.
func (e *Edition) Pack() ([]byte, error) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range e.Files {
		data, method := f.Data, zip.Store
		if f.Name != "mimetype" {
			var err error
			if data, err = deflate(f.Data); err != nil {
				return nil, err
			}
			method = zip.Deflate
		}
		w, err := z.CreateRaw(&zip.FileHeader{Name: f.Name, Method: method, CRC32: crc32.ChecksumIEEE(f.Data), ReaderVersion: 20, CreatorVersion: 20,
			ModifiedDate: firstDay, CompressedSize64: uint64(len(data)), UncompressedSize64: uint64(len(f.Data))})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(data); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func deflate(data []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.DefaultCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	err = w.Close()
	return b.Bytes(), err
}
