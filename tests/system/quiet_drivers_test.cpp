// SPDX-License-Identifier: GPL-3.0-or-later
// Three of the functions by which drivers take who listens to them stand in here; the fourth is left out, as
// where a sound library was built without that driver.
#include "system/quiet_drivers.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace {

using AlsaHandler = void (*)(const char*, int, const char*, int, const char*, ...);
using JackHandler = void (*)(const char*);

AlsaHandler alsa = nullptr;
JackHandler jack = nullptr;
std::string client;

} // namespace

// The names and forms are those of ALSA (alsa/error.h), JACK (jack/jack.h) and PortAudio (pa_jack.h).
extern "C" {
int snd_lib_error_set_handler(AlsaHandler handler) {
    alsa = handler;
    return 0;
}
void jack_set_error_function(JackHandler handler) {
    jack = handler;
}
int PaJack_SetClientName(const char* name) {
    client = name;
    return 0;
}
}

using namespace ebbmark;

TEST_CASE("what drivers say is kept with driver and place, not printed") {
    keep_drivers_quiet();
    REQUIRE(bool(alsa));
    REQUIRE(bool(jack));
    CHECK(client == "ebbmark");
    CHECK(driver_messages().empty());
    alsa("pcm.c", 12, "open", 2, "no card %d\n", 3);
    jack("server is not running \n");
    jack("");
    CHECK(driver_messages() ==
          std::vector<std::string>{"ALSA pcm.c:12 open: no card 3", "JACK server is not running", "JACK"});
}

TEST_CASE("a driver that never stops talking fills no memory") {
    keep_drivers_quiet();
    for (int n = 0; n < 2000; ++n)
        jack("again");
    CHECK(driver_messages().size() == 1000);
}
