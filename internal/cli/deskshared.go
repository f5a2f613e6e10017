package cli

import (
	"continuo/internal/convert"
	"continuo/internal/desk"
	"continuo/internal/meta"
	"continuo/internal/source"
)

// DeskShared are the functions of the commands that the pages of the desk call.
func DeskShared() desk.Shared {
	return desk.Shared{Offers: metadataOffers, Wishes: checkWishes, Reader: readerCode, Request: requestOf, TakeIn: takeIn, Meant: meant, Items: itemsOf, Fill: fillCard, Parcel: parcel, Sent: sent}
}

// DeskSettings are the settings that the next run has, from what the last one left
// in the catalogue.
func DeskSettings(remembered string) (desk.Settings, error) { return deskSettings(remembered) }

// Hint is what to do about a fault.
func (f *fault) Hint() string { return f.hint }

// metadataOffers is what the pages before the text of a title say, which a survey
// of its files found.
func metadataOffers(files []*source.File, survey *convert.Survey, opt convert.Options) ([]meta.Found, error) {
	if len(survey.Titles) != 1 {
		return nil, explain(&convert.ManyTitles{Titles: survey.Titles})
	}
	return foundIn(survey.Titles[0], structureOf(files, opt.Words)), nil
}
