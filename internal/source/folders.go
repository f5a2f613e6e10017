package source

import (
	"strings"

	"continuo/internal/lazy"
)

// volumeFolder is the name of a folder that holds one volume: the name of the
// title or nothing, a word for a volume, and a number in figures, words or roman.
var volumeFolder = lazy.Regexp(`(?i)^(?:(.+?)[ _.-]+|(.*[0-9]))??(?:v|vol|volume|part|pt|bk|book)[ _.-]*(?:[0-9]{1,2}|[ivx]{1,5}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)$`)

// VolumeFolder reports whether a folder holds one volume, by its name: "Volume 1",
// "Emma vol 2", "40172v03". title is what stands before the volume, "" when
// the folder around it has the name of the title.
func VolumeFolder(name string) (title string, ok bool) {
	m := volumeFolder().FindStringSubmatch(name)
	if m == nil {
		return "", false
	}
	return strings.TrimRight(m[1]+m[2], " _.-"), true
}
