// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/calibration.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace ebbmark {

namespace {

struct Line {
    std::size_t number = 0;
    std::string_view text;
};

[[noreturn]] void refuse(std::string_view name, const Line& line, std::string_view what,
                         std::string_view mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}, line {}: {}; {}", name, line.number, what, mend));
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blank = " \t\r";
    const auto first = text.find_first_not_of(blank);
    return first == std::string_view::npos ? ""
                                           : text.substr(first, text.find_last_not_of(blank) - first + 1);
}

/// Lines at LF, CR LF or CR.
std::vector<Line> lines_of(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF"))
        text.remove_prefix(3);
    std::vector<Line> lines;
    std::size_t number = 1;
    while (!text.empty()) {
        const auto end = std::min(text.find_first_of("\r\n"), text.size());
        lines.push_back({number++, trimmed(text.substr(0, end))});
        text.remove_prefix(std::min(text.size(), end + (text.substr(end, 2) == "\r\n" ? 2 : 1)));
    }
    return lines;
}

bool is_comment(std::string_view line) {
    return line.empty() || std::string_view("*#;\"'").find(line.front()) != std::string_view::npos;
}

/// "2026-11-25" in a text, or empty.
std::string date_in(std::string_view text) {
    constexpr std::string_view form = "dddd-dd-dd";
    for (std::size_t at = 0; at + form.size() <= text.size(); ++at) {
        const auto piece = text.substr(at, form.size());
        if (std::equal(piece.begin(), piece.end(), form.begin(),
                       [](char c, char f) { return f == 'd' ? is_digit(c) : c == f; }))
            return std::string(piece);
    }
    return "";
}

/// Whether commas are decimal: no point anywhere, and something else keeps the columns apart.
bool has_decimal_commas(const std::vector<Line>& lines) {
    const auto some = [&](auto test) { return std::any_of(lines.begin(), lines.end(), test); };
    if (some([](const Line& line) { return line.text.find('.') != std::string_view::npos; }))
        return false;
    return some([](const Line& line) {
        for (std::size_t n = 1; n + 1 < line.text.size(); ++n)
            if (line.text[n] == ',' && is_digit(line.text[n - 1]) && is_digit(line.text[n + 1]))
                return line.text.find_first_of(" \t;") != std::string_view::npos;
        return false;
    });
}

std::optional<double> number_in(std::string text, bool decimal_commas) {
    if (decimal_commas)
        std::replace(text.begin(), text.end(), ',', '.');
    const char* first = text.data() + (text.starts_with('+') ? 1 : 0);
    double value = 0;
    const auto [end, error] = std::from_chars(first, text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
        return {};
    return value;
}

/// The columns of a line; nothing where one is no number.
std::optional<std::vector<double>> columns_of(std::string_view line, bool decimal_commas) {
    const std::string_view separators = decimal_commas ? " \t;" : " \t;,";
    std::vector<double> columns;
    while (!(line = line.substr(std::min(line.find_first_not_of(separators), line.size()))).empty()) {
        const auto end = std::min(line.find_first_of(separators), line.size());
        const auto value = number_in(std::string(line.substr(0, end)), decimal_commas);
        if (!value)
            return {};
        columns.push_back(*value);
        line.remove_prefix(end);
    }
    return columns;
}

CurvePoint point_in(const Line& line, const std::vector<double>& columns, std::string_view name) {
    if (columns.size() < 2 || columns.size() > 3)
        refuse(name, line, fmt::format("{} numbers", columns.size()),
               "write a frequency in Hz, a level in dB and perhaps a phase in degrees, apart by spaces");
    if (!(columns[0] > 0) || columns[0] > 1e6)
        refuse(name, line, fmt::format("a frequency of {:g} Hz", columns[0]),
               "the first column is in Hz, above 0");
    if (std::abs(columns[1]) > 100)
        refuse(name, line, fmt::format("a level of {:g} dB", columns[1]),
               "the second column is in dB relative to the microphone's sensitivity, within 100");
    return {columns[0], columns[1], columns.size() == 3 ? std::optional(columns[2]) : std::nullopt};
}

} // namespace

double MicrophoneCurve::response_db(double hz) const {
    if (hz <= points.front().hz)
        return points.front().db;
    if (hz >= points.back().hz)
        return points.back().db;
    const auto after = std::upper_bound(points.begin(), points.end(), hz,
                                        [](double f, const CurvePoint& point) { return f < point.hz; });
    const auto before = after - 1;
    return std::lerp(before->db, after->db, std::log(hz / before->hz) / std::log(after->hz / before->hz));
}

MicrophoneCurve microphone_curve(std::string_view text, std::string_view name) {
    MicrophoneCurve curve;
    curve.sha256 = sha256(text);
    std::vector<Line> lines;
    for (const Line& line : lines_of(text))
        if (!is_comment(line.text))
            lines.push_back(line);
        else if (curve.date.empty())
            curve.date = date_in(line.text);
    const bool decimal_commas = has_decimal_commas(lines);
    for (const Line& line : lines) {
        const auto columns = columns_of(line.text, decimal_commas);
        if (!columns && curve.points.empty() && &line == &lines.front())
            continue; // a heading
        if (!columns)
            refuse(name, line, fmt::format("\"{}\" is no row of numbers", line.text.substr(0, 40)),
                   "put a # before comments");
        const CurvePoint point = point_in(line, *columns, name);
        if (!curve.points.empty() && point.hz <= curve.points.back().hz)
            refuse(name, line, fmt::format("{:g} Hz after {:g} Hz", point.hz, curve.points.back().hz),
                   "sort the lines by frequency, each frequency once");
        curve.points.push_back(point);
    }
    if (curve.points.size() < 2)
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: holds {} points of a response curve; it needs at least two "
                                "lines \"frequency dB\"",
                                name, curve.points.size()));
    return curve;
}

MicrophoneCurve read_microphone_curve(const std::filesystem::path& path) {
    return microphone_curve(read_whole(path), path.string());
}

} // namespace ebbmark
