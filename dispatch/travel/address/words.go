package address

import "strings"

// What mail in the United States abbreviates: suffixes and directions of USPS
// Publication 28, appendices B and C1 (the common ones, from memory), as the
// words that they stand for.
var shortWords = map[string]string{
	"aly": "alley", "drv": "drive", "str": "street", "strt": "street", "aven": "avenue", "avenu": "avenue", "boul": "boulevard", "ave": "avenue", "av": "avenue", "bnd": "bend", "blf": "bluff", "blvd": "boulevard", "br": "branch", "byp": "bypass",
	"cyn": "canyon", "ctr": "center", "cir": "circle", "cl": "close", "cor": "corner", "ct": "court", "cv": "cove", "crk": "creek",
	"cres": "crescent", "xing": "crossing", "dr": "drive", "est": "estate", "expy": "expressway", "ext": "extension", "fwy": "freeway",
	"gdns": "gardens", "gln": "glen", "grv": "grove", "hbr": "harbor", "hts": "heights", "hwy": "highway", "hl": "hill", "hls": "hills",
	"holw": "hollow", "is": "island", "jct": "junction", "lk": "lake", "ln": "lane", "lp": "loop", "mnr": "manor", "mdw": "meadow",
	"mdws": "meadows", "mt": "mount", "mtn": "mountain", "pkwy": "parkway", "pl": "place", "plz": "plaza", "pt": "point", "rnch": "ranch",
	"rdg": "ridge", "rd": "road", "rte": "route", "spg": "spring", "spgs": "springs", "sq": "square", "sta": "station", "st": "street",
	"ter": "terrace", "terr": "terrace", "trl": "trail", "tpke": "turnpike", "vly": "valley", "vw": "view", "vlg": "village", "wy": "way",
	"n": "north", "s": "south", "e": "east", "w": "west", "ne": "northeast", "nw": "northwest", "se": "southeast", "sw": "southwest",
	"first": "1st", "second": "2nd", "third": "3rd", "fourth": "4th", "fifth": "5th", "sixth": "6th", "seventh": "7th", "eighth": "8th",
	"ninth": "9th", "tenth": "10th",
}

// kinds of street and directions are not what a street is known by: they may be
// missing or wrong at a small cost.
var plainWords = func() map[string]bool {
	plain := map[string]bool{}
	for _, w := range []string{"the", "of", "and", "row", "run", "spur", "pass", "path", "walk", "way", "loop", "mall"} {
		plain[w] = true
	}
	for _, long := range shortWords {
		if long[0] < '0' || long[0] > '9' {
			plain[long] = true
		}
	}
	return plain
}()

// accents are folded away where a letter has one: Latin-1 and the letters of
// European languages beside it.
var accents = strings.NewReplacer(
	"á", "a", "à", "a", "â", "a", "ä", "a", "ã", "a", "å", "a", "ā", "a", "ă", "a", "ą", "a", "æ", "ae",
	"ç", "c", "ć", "c", "č", "c", "ď", "d", "đ", "d", "ð", "d", "é", "e", "è", "e", "ê", "e", "ë", "e", "ē", "e", "ę", "e", "ě", "e",
	"ğ", "g", "í", "i", "ì", "i", "î", "i", "ï", "i", "ī", "i", "ı", "i", "ł", "l", "ñ", "n", "ń", "n", "ň", "n",
	"ó", "o", "ò", "o", "ô", "o", "ö", "o", "õ", "o", "ø", "o", "ő", "o", "œ", "oe", "ř", "r", "ś", "s", "š", "s", "ş", "s", "ß", "ss",
	"ť", "t", "ú", "u", "ù", "u", "û", "u", "ü", "u", "ū", "u", "ů", "u", "ű", "u", "ý", "y", "ÿ", "y", "ź", "z", "ž", "z", "ż", "z", "þ", "th",
	"'", "", "’", "", "`", "",
)

// rawWords takes text apart: lower case, no accents; what is no letter or digit
// parts words.
func rawWords(text string) []string {
	return strings.FieldsFunc(accents.Replace(strings.ToLower(text)), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r < 128
	})
}

// words are those of a text with abbreviations spelled out.
func words(text string) []string {
	list := rawWords(text)
	for i, w := range list {
		if long, ok := shortWords[w]; ok {
			list[i] = long
		}
	}
	return list
}

// fold is a name as it is compared.
func fold(name string) string { return strings.Join(words(name), " ") }

// distance is how many letters must be put in, taken out, changed or swapped
// with their neighbour to make one word of the other (optimal string alignment,
// Damerau 1964), and the least of that for any beginning of the second. It stops
// at most+1.
func distance(a, b string, most int) (full, start int) {
	if len(a)-len(b) > most {
		return most + 1, most + 1
	}
	var rows [3][64]int
	if len(b) > 62 || len(a) > 62 {
		return most + 1, most + 1
	}
	for j := range len(b) + 1 {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		row, up, up2 := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		row[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			change := up[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			best := min(change, up[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				best = min(best, up2[j-2]+1)
			}
			row[j] = best
			least = min(least, best)
		}
		if least > most {
			return most + 1, most + 1
		}
	}
	last := rows[len(a)%3]
	start = last[0]
	for j := range len(b) + 1 {
		start = min(start, last[j])
	}
	return min(last[len(b)], most+1), min(start, most+1)
}

// forgiven is how many wrong letters a word may have: none in short ones, which
// would turn into each other.
func forgiven(word string) int {
	switch {
	case word[0] >= '0' && word[0] <= '9':
		return 0
	case len(word) >= 8:
		return 2
	case len(word) >= 4:
		return 1
	}
	return 0
}

// What a word that is not as written costs.
const (
	costStart  = 1  // only its beginning was typed
	costLetter = 4  // each wrong letter
	costPlain  = 3  // another kind of street, or a kind that the name has not
	costAfter  = 2  // a word behind a comma that says nothing here
	mostCost   = 14 // farther off is another name
	// What costs more than the best by this is noise beside it.
	costFarther = 5
)

// wordCost is what a typed word costs for one of the index; -1: another word.
func wordCost(typed, word string) int {
	if typed == word {
		return 0
	}
	if len(typed) < len(word) && word[:len(typed)] == typed {
		return costStart
	}
	most := forgiven(typed)
	if most == 0 || len(word) < 3 {
		return -1
	}
	full, start := distance(typed, word, most)
	switch {
	case full <= most:
		return full * costLetter
	case start <= most && len(typed) > 3 && len(word) > len(typed):
		return start*costLetter + costStart
	}
	return -1
}
