// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "in_child.hpp"
#include "system/file.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <cerrno>
#include <csignal>
#include <cstdint>
#include <utility>

using namespace ebbmark;

namespace fs = std::filesystem;

namespace {

bool is_open_number(int number) {
    return ::fcntl(number, F_GETFD) != -1;
}

} // namespace

TEST_CASE("a file is closed once, by the last that holds it, and not passed on to other programs") {
    const TestFolder folder;
    int number = -1;
    {
        OpenFile last;
        {
            OpenFile first = open_new(folder / "a").file;
            number = first.number();
            CHECK((::fcntl(number, F_GETFD) & FD_CLOEXEC) != 0);
            last = std::move(first);
        }
        CHECK(is_open_number(number));
        CHECK(last.number() == number);
    }
    CHECK_FALSE(is_open_number(number));
    OpenFile again = open_to_read(folder / "a").file;
    CHECK(again.close_now() == 0);
    CHECK_FALSE(again.is_open());
    CHECK_FALSE(OpenFile().is_open());
}

TEST_CASE("what is open, new or kept: a name that is taken, one that is not, and a link") {
    const TestFolder folder;
    folder.write("taken", "old");
    fs::create_symlink(folder / "elsewhere", folder / "link");
    CHECK(open_to_read(folder / "none").error == ENOENT);
    CHECK(open_to_read(folder / "taken").error == 0);
    CHECK(open_new(folder / "taken").error == EEXIST);
    CHECK(open_new(folder / "link").error == EEXIST);
    CHECK(open_to_keep(folder / "link").error == ELOOP);
    CHECK(open_to_keep(folder / "taken").file.is_open());
    CHECK(open_to_keep(folder / "made").file.is_open());
    CHECK(bytes_of(folder / "taken") == "old");
    CHECK(fs::exists(folder / "made"));
    CHECK_FALSE(fs::exists(folder / "elsewhere"));
}

TEST_CASE("bytes that were written and flushed are those that are read") {
    const TestFolder folder;
    const std::string bytes("a\0b\n\xff", 5);
    {
        OpenFile file = open_new(folder / "a").file;
        CHECK(write_all(file, bytes) == 0);
        CHECK(flush_and_close(file) == 0);
        CHECK_FALSE(file.is_open());
    }
    const OpenFile file = open_to_read(folder / "a").file;
    std::size_t length = 0;
    CHECK(length_of(file, length) == 0);
    CHECK(length == 5);
    std::string part(3, 'x'), rest(9, 'x');
    CHECK(read_into(file, part) == 0);
    CHECK(read_into(file, rest) == 0);
    CHECK(part == bytes.substr(0, 3));
    CHECK(rest == bytes.substr(3));
    CHECK(write_all(file, "x") == EBADF); // open to read only
}

TEST_CASE("what cannot be read, written or flushed is an error of the system") {
    const OpenFile none;
    std::size_t length = 0;
    std::string bytes(1, 'x');
    CHECK(length_of(none, length) == EBADF);
    CHECK(read_into(none, bytes) == EBADF);
    OpenFile closed;
    CHECK(flush_and_close(closed) == EBADF);
    CHECK(text_of(none, 10).empty());
    CHECK_FALSE(replace_text(none, "x"));
    const OpenFile full(::open("/dev/full", O_WRONLY));
    CHECK(write_all(full, "x") == ENOSPC);
    const TestFolder folder;
    std::string nothing(1, 'x');
    CHECK(read_into(open_to_read(folder.path()).file, nothing) == EISDIR);
}

TEST_CASE("a kind of file that knows no flushing is closed without an error") {
    OpenFile device(::open("/dev/null", O_WRONLY));
    CHECK(flush_and_close(device) == 0);
}

TEST_CASE("a text takes the place of a longer one whole") {
    const TestFolder folder;
    const OpenFile file = open_to_keep(folder.write("a", "something long")).file;
    CHECK(text_of(file, 9) == "something");
    CHECK(replace_text(file, "short"));
    CHECK(text_of(file, 100) == "short");
    CHECK(replace_text(file, ""));
    CHECK(bytes_of(folder / "a").empty());
}

TEST_CASE("a locked file is another's until it is closed, and can be read meanwhile") {
    const TestFolder folder;
    const auto path = folder.write("a", "mine");
    {
        const OpenFile held = open_to_keep(path).file;
        CHECK(lock_alone(held) == 0);
        const OpenFile other = open_to_keep(path).file;
        CHECK(lock_alone(other) == EWOULDBLOCK);
        CHECK(text_of(other, 100) == "mine");
    }
    CHECK(lock_alone(open_to_keep(path).file) == 0);
}

TEST_CASE("a lock ends with the process that had it, however that ends") {
    const TestFolder folder;
    const auto path = folder.write("a", "");
    CHECK(in_child([&] {
              const OpenFile held = open_to_keep(path).file;
              if (lock_alone(held) != 0)
                  return 1;
              std::raise(SIGKILL);
              return 2;
          }) == 1000 + SIGKILL);
    CHECK(lock_alone(open_to_keep(path).file) == 0);
}

TEST_CASE("a new name never takes the place of another file") {
    const TestFolder folder;
    folder.write("from", "new");
    folder.write("taken", "old");
    fs::create_symlink(folder / "elsewhere", folder / "link");
    CHECK(name_as_new(folder / "from", folder / "taken") == EEXIST);
    CHECK(name_as_new(folder / "from", folder / "link") == EEXIST);
    CHECK(bytes_of(folder / "taken") == "old");
    CHECK(name_as_new(folder / "from", folder / "free") == 0);
    CHECK(bytes_of(folder / "free") == "new");
    CHECK(name_as_new(folder / "none", folder / "other") == ENOENT);
}

TEST_CASE("flushing a folder takes no harm from one that is not there") {
    const TestFolder folder;
    const int next_number = ::dup(0);
    ::close(next_number);
    flush_folder(folder.path());
    flush_folder(folder / "none");
    const int number = ::dup(0);
    ::close(number);
    CHECK(number == next_number); // nothing stays open
}

TEST_CASE("what may be read and written is asked of the system") {
    const TestFolder folder;
    const auto path = folder.write("a", "x");
    CHECK(refused_reading(path) == 0);
    CHECK(is_writable(path));
    CHECK(refused_reading(folder / "none") == ENOENT);
    CHECK_FALSE(is_writable(folder / "none"));
    ::chmod(folder.path().c_str(), 0755);
    ::chmod(path.c_str(), 0);
    const int seen = in_child([&] {
        // The rights that are asked for are those of the real user.
        if (::geteuid() == 0 && ::setuid(65534) != 0)
            return 100;
        return is_writable(path) ? 101 : refused_reading(path);
    });
    CHECK(seen == EACCES);
}

TEST_CASE("the longest file is what the limit of the process lets be") {
    const auto longest_with = [](rlim_t most) {
        struct rlimit limit {
            most, RLIM_INFINITY
        };
        ::setrlimit(RLIMIT_FSIZE, &limit);
        return longest_file();
    };
    CHECK(in_child([&] { return longest_with(5000) == 5000 ? 0 : 1; }) == 0);
    CHECK(in_child([&] { return longest_with(0) == 1 ? 0 : 1; }) == 0);
    CHECK(in_child([&] { return longest_with(RLIM_INFINITY) == SIZE_MAX ? 0 : 1; }) == 0);
}

TEST_CASE("each error of the system has its mend") {
    for (const auto& [error, mend] :
         {std::pair{ENOENT, "create the folder"}, std::pair{ENOTDIR, "is a file and not a folder"},
          std::pair{EACCES, "permissions"}, std::pair{EPERM, "permissions"}, std::pair{EROFS, "read-only"},
          std::pair{ENOSPC, "make room"}, std::pair{EDQUOT, "make room"}, std::pair{EFBIG, "ulimit -f"},
          std::pair{ENAMETOOLONG, "shorter name"}, std::pair{EIO, "check the disk"}})
        CHECK(contains(mend_for(error), mend));
}
