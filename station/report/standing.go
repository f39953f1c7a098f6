package report

import (
	"fmt"
	"html"
	"regexp"
	"slices"
	"strings"
)

var (
	standingHead  = regexp.MustCompile(`^<svg [^>]*>`)
	standingStyle = regexp.MustCompile(`style="([^"]*)"`)
	standingInk   = regexp.MustCompile(`(fill|stroke):var\(--([a-z]+)\);?`)
	sheetOfInks   = regexp.MustCompile(`:root\{([^}]*)\}`)
	inkOfSheet    = regexp.MustCompile(`--([a-z]+):(#[0-9a-f]{3,6})`)
)

// standing renders charts as a file of their own, with title and description.
// The inks become classes with the colours of the page in light and, where a
// reader asks for it, in dark: programs that show pictures but know no variables
// of style sheets show the light ones.
func standing(title, words string, charts ...*chart) string {
	high := 0.0
	for _, ch := range charts {
		high += ch.high
	}
	used := map[string]bool{}
	body := standingStyle.ReplaceAllStringFunc(standingHead.ReplaceAllString(svg("", charts...), ""), func(attr string) string {
		var classes []string
		rest := standingInk.ReplaceAllStringFunc(attr, func(m string) string {
			k := standingInk.FindStringSubmatch(m)
			used[k[2]] = true
			classes = append(classes, k[1]+"-"+k[2])
			return ""
		})
		if len(classes) == 0 {
			return attr
		}
		return fmt.Sprintf(`class="%s" %s`, strings.Join(classes, " "), rest)
	})
	sheets := sheetOfInks.FindAllStringSubmatch(pageStyle, -1)
	var b strings.Builder
	const desk = 1.5 // the size on a desk, of a picture drawn for a phone
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title" aria-describedby="words" viewBox="0 0 %d %g" width="%g" height="%g">`+"\n", pictureWide, high, desk*pictureWide, desk*high)
	fmt.Fprintf(&b, "<title id=\"title\">%s</title>\n<desc id=\"words\">%s</desc>\n", html.EscapeString(title), html.EscapeString(words))
	fmt.Fprintf(&b, "<style>\nsvg{max-width:100%%;height:auto;color-scheme:light dark}\ntext{font-family:\"Liberation Sans\",Helvetica,Arial,sans-serif;paint-order:stroke;stroke-width:2.5px;stroke-linejoin:round}\n%s@media (prefers-color-scheme:dark){\n%s}\n</style>\n",
		classesOf(sheets[0][1], used), classesOf(sheets[1][1], used))
	fmt.Fprintf(&b, "<rect class=\"fill-paper\" width=\"%d\" height=\"%g\"/>\n", pictureWide, high)
	b.WriteString(body)
	b.WriteByte('\n')
	return b.String()
}

// classesOf writes the colours of one sheet as classes.
func classesOf(sheet string, used map[string]bool) string {
	var lines []string
	for _, m := range inkOfSheet.FindAllStringSubmatch(sheet, -1) {
		name, colour := m[1], m[2]
		if name == "paper" {
			// The ground of a window that is larger than the picture, and a rim
			// that keeps letters clear of lines.
			lines = append(lines, "svg{background:"+colour+"}", "text{stroke:"+colour+"}")
		}
		if used[name] || name == "paper" {
			lines = append(lines, fmt.Sprintf(".fill-%s{fill:%s}", name, colour), fmt.Sprintf(".stroke-%s{stroke:%s}", name, colour))
		}
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n") + "\n"
}
