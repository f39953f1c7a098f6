package main

import (
	"bytes"
	"fmt"
	"go/format"
	"io"
	"strconv"
	"strings"
)

// An emitter writes a fitted function as source text.
type emitter struct {
	*task
	fit      *fit
	function function
	name     string
	pkgName  string
	given    string
}

// A vector is an input with what the device must answer, to the last bit.
type vector struct {
	x, y   float32
	xi, yi int32
}

// golden are the ends, points between them and the worst input found.
func (e *emitter) golden() []vector {
	const n = 16
	var out []vector
	for i := range n + 2 {
		if e.fit.table != nil {
			x := e.fit.first + int32(int64(e.fit.last-e.fit.first)*int64(i)/n)
			if i > n {
				x = int32(roundHalf(e.fit.where * float64(e.inScale)))
			}
			out = append(out, vector{xi: x, yi: e.fit.evalInt(x)})
			continue
		}
		x := min(float32(float64(e.from)+(float64(e.to)-float64(e.from))*float64(i)/n), e.to)
		if i > n {
			x = float32(e.fit.where)
		}
		out = append(out, vector{x: x, y: e.fit.eval32(x)})
	}
	return out
}

func roundHalf(v float64) float64 {
	if v < 0 {
		return -roundHalf(-v)
	}
	return float64(int64(v + 0.5))
}

// head is the comment, as lines without its marks.
func (e *emitter) head(golden string) []string {
	f := e.fit
	share := ""
	if e.relative {
		share = " of the value"
	}
	lines := []string{fmt.Sprintf("%s: %s", e.name, e.function.out), "of " + e.function.in + ".", "Source: " + e.function.source + "."}
	if e.given != "" {
		lines = append(lines, strings.Split("Given: "+e.given+".", "\n")...)
	}
	switch {
	case f.table != nil:
		lines = append(lines,
			fmt.Sprintf("Input: integer, %d = one unit, %d to %d; output: integer, %d = one unit.", e.inScale, f.first, f.last, f.outScale),
			fmt.Sprintf("Table: %d knots of int%d every %d, %d bytes.", len(f.table), f.bits, f.step, f.bytes),
			fmt.Sprintf("Largest error: %.3g%s, every input tried; worst at %.6g.", f.proven, share, f.where),
			"The rounding of the input to an integer is not in it.",
			"An input outside gives -2147483648.")
	case f.poly != nil:
		lines = append(lines, fmt.Sprintf("Range: %s to %s.", literal(e.from), literal(e.to)),
			fmt.Sprintf("Polynomial of degree %d, %d bytes with its scaling.", len(f.poly)-1, f.bytes))
	default:
		lines = append(lines, fmt.Sprintf("Range: %s to %s.", literal(e.from), literal(e.to)),
			fmt.Sprintf("Table: %d equidistant knots of float32, %d bytes with its scaling.", len(f.knots), f.bytes))
	}
	if f.table == nil {
		lines = append(lines,
			fmt.Sprintf("Largest error: %.3g%s, proven; %.2g of it allow for float32.", f.proven, share, f.rounding),
			fmt.Sprintf("Largest found: %.4g at %s.", f.seen, literal(float32(f.where))),
			"An input outside gives not-a-number.")
	}
	return append(lines, golden)
}

func (e *emitter) comment(mark, golden string) string {
	var b strings.Builder
	for _, l := range e.head(golden) {
		b.WriteString(mark + " " + l + "\n")
	}
	return b.String()
}

func literal(v float32) string { return strconv.FormatFloat(float64(v), 'g', -1, 32) }

// list breaks numbers into lines.
func list(n int, indent string, item func(i int) string) string {
	var b strings.Builder
	line := indent
	for i := range n {
		s := item(i) + ","
		if len(line)+len(s)+1 > 78 {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line = indent
		}
		line += s + " "
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return b.String()
}

func (e *emitter) numbers(spell func(float32) string, indent string) string {
	f := e.fit
	switch {
	case f.table != nil:
		return list(len(f.table), indent, func(i int) string { return strconv.Itoa(int(f.table[i])) })
	case f.poly != nil:
		return list(len(f.poly), indent, func(i int) string { return spell(f.poly[i]) })
	}
	return list(len(f.knots), indent, func(i int) string { return spell(f.knots[i]) })
}

func (e *emitter) vectors(spell func(float32) string, opening, closing string) string {
	var b strings.Builder
	for _, v := range e.golden() {
		x, y := spell(v.x), spell(v.y)
		if e.fit.table != nil {
			x, y = strconv.Itoa(int(v.xi)), strconv.Itoa(int(v.yi))
		}
		fmt.Fprintf(&b, "\t%s%s, %s%s,\n", opening, x, y, closing)
	}
	return b.String()
}

func (e *emitter) write(w io.Writer, language string) error {
	switch language {
	case "go":
		return e.goText(w)
	case "c":
		return e.cText(w)
	}
	return e.pythonText(w)
}

func (e *emitter) goText(w io.Writer) error {
	f := e.fit
	var b bytes.Buffer
	low := strings.ToLower(e.name[:1]) + e.name[1:]
	kind, elem := "float32", "float32"
	fmt.Fprintf(&b, "package %s\n\n", e.pkgName)
	if f.table != nil {
		kind, elem = "int32", fmt.Sprintf("int%d", f.bits)
	} else {
		b.WriteString("import \"math\"\n\n")
	}
	fmt.Fprintf(&b, "var %sNumbers = [...]%s{\n%s}\n\n", low, elem, e.numbers(literal, "\t"))
	b.WriteString(e.comment("//", fmt.Sprintf("%sGolden holds what it must answer to the last bit.", e.name)))
	fmt.Fprintf(&b, "func %s(x %s) %s {\n", e.name, kind, kind)
	switch {
	case f.table != nil:
		fmt.Fprintf(&b, `if x < %d || x > %d {
	return -2147483648
}
i := min((x-(%d))/%d, int32(len(%sNumbers))-2)
r := x - (%d) - i*%d
a, b := int32(%sNumbers[i]), int32(%sNumbers[i+1])
q := (b - a) * r
if q < 0 {
	return a - (%d-q)/%d
}
return a + (q+%d)/%d
}
`, f.first, f.last, f.first, f.step, low, f.first, f.step, low, low, f.step/2, f.step, f.step/2, f.step)
	default:
		fmt.Fprintf(&b, `if !(x >= %s && x <= %s) {
	return float32(math.NaN())
}
// The conversions forbid fused multiplication, which rounds otherwise.
u := float32(float32(x-(%s)) * %s)
`, literal(e.from), literal(e.to), literal(f.origin), literal(f.perStep))
		if f.poly != nil {
			fmt.Fprintf(&b, `y := %sNumbers[len(%sNumbers)-1]
for i := len(%sNumbers) - 2; i >= 0; i-- {
	y = float32(y*u) + %sNumbers[i]
}
return y
}
`, low, low, low, low)
		} else {
			fmt.Fprintf(&b, `i := min(int(u), len(%sNumbers)-2)
a, b := %sNumbers[i], %sNumbers[i+1]
return a + float32(float32(b-a)*float32(u-float32(i)))
}
`, low, low, low)
		}
	}
	fmt.Fprintf(&b, "\n// %sGolden holds inputs and answers of %s.\nvar %sGolden = [...]struct{ X, Y %s }{\n%s}\n", e.name, e.name, e.name, kind, e.vectors(literal, "{", "}"))
	text, err := format.Source(b.Bytes())
	if err != nil {
		return fmt.Errorf("-name: %q cannot be a name in Go: %w", e.name, err)
	}
	_, err = w.Write(text)
	return err
}

func cLiteral(v float32) string {
	s := literal(v)
	if !strings.ContainsAny(s, ".e") {
		s += ".0"
	}
	return s + "f"
}

func (e *emitter) cText(w io.Writer) error {
	f := e.fit
	var b bytes.Buffer
	kind, elem := "float", "float"
	if f.table != nil {
		kind, elem = "int32_t", fmt.Sprintf("int%d_t", f.bits)
	}
	lines := e.head(fmt.Sprintf("%s_wrong() counts the golden vectors that are missed.", e.name))
	if f.table == nil {
		lines = append(lines, "Compile with -ffp-contract=off: fused multiplication keeps the error but", "not the last bit of the golden vectors.")
	}
	fmt.Fprintf(&b, "/* %s */\n", strings.Join(lines, "\n * "))
	b.WriteString("#include <math.h>\n#include <stddef.h>\n#include <stdint.h>\n\n")
	fmt.Fprintf(&b, "static const %s %s_numbers[] = {\n%s};\n\n", elem, e.name, e.numbers(cLiteral, "\t"))
	fmt.Fprintf(&b, "%s %s(%s x)\n{\n", kind, e.name, kind)
	fmt.Fprintf(&b, "\tconst int32_t n = sizeof %s_numbers / sizeof %s_numbers[0];\n", e.name, e.name)
	switch {
	case f.table != nil:
		fmt.Fprintf(&b, `	if (x < %d || x > %d)
		return INT32_MIN;
	int32_t i = (x - (%d)) / %d;
	if (i > n - 2)
		i = n - 2;
	int32_t r = x - (%d) - i * %d;
	int32_t a = %s_numbers[i], b = %s_numbers[i + 1];
	int32_t q = (b - a) * r;
	if (q < 0)
		return a - (%d - q) / %d;
	return a + (q + %d) / %d;
}
`, f.first, f.last, f.first, f.step, f.first, f.step, e.name, e.name, f.step/2, f.step, f.step/2, f.step)
	default:
		fmt.Fprintf(&b, `	if (!(x >= %s && x <= %s))
		return NAN;
	float u = x - (%s);
	u *= %s;
`, cLiteral(e.from), cLiteral(e.to), cLiteral(f.origin), cLiteral(f.perStep))
		if f.poly != nil {
			fmt.Fprintf(&b, `	float y = %s_numbers[n - 1];
	for (int32_t i = n - 2; i >= 0; i--) {
		y *= u;
		y += %s_numbers[i];
	}
	return y;
}
`, e.name, e.name)
		} else {
			fmt.Fprintf(&b, `	int32_t i = (int32_t)u;
	if (i > n - 2)
		i = n - 2;
	float a = %s_numbers[i], d = %s_numbers[i + 1] - a;
	u -= (float)i;
	d *= u;
	return a + d;
}
`, e.name, e.name)
		}
	}
	fmt.Fprintf(&b, "\nstatic const %s %s_golden[][2] = {\n%s};\n\n", kind, e.name, e.vectors(cLiteral, "{", "}"))
	fmt.Fprintf(&b, `int %s_wrong(void)
{
	int wrong = 0;
	for (size_t i = 0; i < sizeof %s_golden / sizeof %s_golden[0]; i++)
		wrong += !(%s(%s_golden[i][0]) == %s_golden[i][1]);
	return wrong;
}
`, e.name, e.name, e.name, e.name, e.name, e.name)
	_, err := w.Write(b.Bytes())
	return err
}

func (e *emitter) pythonText(w io.Writer) error {
	f := e.fit
	var b bytes.Buffer
	b.WriteString(e.comment("#", fmt.Sprintf("%s_wrong() counts the golden vectors that are missed.", e.name)))
	if f.table == nil {
		b.WriteString("import struct\n\n\ndef _f32(v):  # to float32; where floats are single, v itself\n    return struct.unpack(\"f\", struct.pack(\"f\", v))[0]\n\n\n")
	}
	spell := literal
	if f.table == nil {
		spell = func(v float32) string { return "_f32(" + literal(v) + ")" }
	}
	fmt.Fprintf(&b, "%s_numbers = (\n%s)\n\n\ndef %s(x):\n", e.name, e.numbers(spell, "    "), e.name)
	switch {
	case f.table != nil:
		fmt.Fprintf(&b, `    if x < %d or x > %d:
        return -2147483648
    i = min((x - (%d)) // %d, len(%s_numbers) - 2)
    r = x - (%d) - i * %d
    a = %s_numbers[i]
    q = (%s_numbers[i + 1] - a) * r
    if q < 0:
        return a - (%d - q) // %d
    return a + (q + %d) // %d
`, f.first, f.last, f.first, f.step, e.name, f.first, f.step, e.name, e.name, f.step/2, f.step, f.step/2, f.step)
	default:
		fmt.Fprintf(&b, `    x = _f32(x)
    if not (_f32(%s) <= x <= _f32(%s)):
        return float("nan")
    u = _f32(_f32(x - _f32(%s)) * _f32(%s))
`, literal(e.from), literal(e.to), literal(f.origin), literal(f.perStep))
		if f.poly != nil {
			fmt.Fprintf(&b, `    y = 0.0
    for c in reversed(%s_numbers):
        y = _f32(_f32(y * u) + c)
    return y
`, e.name)
		} else {
			fmt.Fprintf(&b, `    i = min(int(u), len(%s_numbers) - 2)
    a = %s_numbers[i]
    d = _f32(%s_numbers[i + 1] - a)
    return _f32(a + _f32(d * _f32(u - i)))
`, e.name, e.name, e.name)
		}
	}
	fmt.Fprintf(&b, "\n\n%s_golden = (\n%s)\n\n\ndef %s_wrong():\n    return sum(%s(x) != y for x, y in %s_golden)\n", e.name, strings.ReplaceAll(e.vectors(spell, "(", ")"), "\t", "    "), e.name, e.name, e.name)
	_, err := w.Write(b.Bytes())
	return err
}
