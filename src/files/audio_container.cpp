// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/audio_container.hpp"

#include <array>
#include <fstream>
#include <string>
#include <string_view>

namespace ebbmark {

namespace {

/// A file in which reading past the end gives nothing.
class Reader {
  public:
    explicit Reader(std::istream& file) : file_(file) {
        file_.seekg(0, std::ios::end);
        size_ = file_ ? static_cast<std::uint64_t>(file_.tellg()) : 0;
    }

    std::uint64_t size() const { return size_; }

    std::string bytes(std::uint64_t at, std::size_t count) {
        if (at > size_ || size_ - at < count)
            return {};
        std::string text(count, '\0');
        file_.clear();
        file_.seekg(static_cast<std::streamoff>(at));
        file_.read(text.data(), static_cast<std::streamsize>(count));
        return file_ ? text : std::string();
    }

  private:
    std::istream& file_;
    std::uint64_t size_ = 0;
};

std::uint64_t number(std::string_view bytes, bool big_endian) {
    std::uint64_t value = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i)
        value = value << 8 | static_cast<unsigned char>(bytes[big_endian ? i : bytes.size() - 1 - i]);
    return value;
}

/// How the chunks of one container are laid out.
struct Layout {
    std::uint64_t first;       ///< where the first chunk starts
    std::size_t id_bytes;      ///< length of a chunk's name
    std::size_t length_bytes;  ///< width of its length
    bool big_endian;           ///< of the length
    bool length_counts_header; ///< whether the length includes name and length
    std::uint64_t alignment;   ///< chunks start at multiples of this
    std::string_view data;     ///< first four bytes of the name of the sound chunk
};

std::optional<Layout> layout_of(std::string_view head) {
    const auto form = head.substr(0, 4);
    if (form == "RIFF" || form == "RF64" || form == "BW64")
        return Layout{12, 4, 4, false, false, 2, "data"};
    if (form == "FORM")
        return Layout{12, 4, 4, true, false, 2, "SSND"};
    if (form == "riff")
        return Layout{40, 16, 8, false, true, 8, "data"};
    if (form == "caff")
        return Layout{8, 4, 8, true, false, 1, "data"};
    return {};
}

/// In 64-bit WAV files the true length of the sound stands in the ds64 chunk, which comes first.
std::uint64_t length_in_ds64(Reader& file, std::uint64_t fallback) {
    if (file.bytes(12, 4) != "ds64")
        return fallback;
    const std::string length = file.bytes(12 + 8 + 8, 8);
    return length.empty() ? fallback : number(length, false);
}

} // namespace

std::optional<PromisedSound> promised_sound(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return promised_sound(file);
}

std::optional<PromisedSound> promised_sound(std::istream& stream) {
    Reader file(stream);
    const auto layout = layout_of(file.bytes(0, 4));
    if (!layout)
        return {};
    const std::uint64_t header = layout->id_bytes + layout->length_bytes;
    std::uint64_t at = layout->first;
    while (true) {
        const std::string head = file.bytes(at, header);
        if (head.empty())
            return {};
        const auto length_field = std::string_view(head).substr(layout->id_bytes);
        std::uint64_t length = number(length_field, layout->big_endian);
        if (layout->length_counts_header)
            length = length > header ? length - header : 0;
        if (head.starts_with(layout->data)) {
            if (length == 0xFFFFFFFF && layout->length_bytes == 4)
                length = length_in_ds64(file, length);
            // A length of all ones in CAF means "to the end of the file" by its definition.
            const std::uint64_t present = file.size() - at - header;
            return PromisedSound{length == UINT64_MAX ? present : length, present};
        }
        if (length > file.size())
            return {};
        at += header + length;
        at += (layout->alignment - at % layout->alignment) % layout->alignment;
    }
}

} // namespace ebbmark
