// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/quiet_drivers.hpp"

#include <dlfcn.h>
#include <fmt/format.h>

#include <cctype>
#include <cstdarg>
#include <cstdio>
#include <mutex>
#include <utility>

namespace ebbmark {

namespace {

// Drivers report through C functions without a user argument, so what they say is kept here.
std::mutex messages_lock;
std::vector<std::string> messages;

void keep_message(std::string text) {
    while (!text.empty() && std::isspace(static_cast<unsigned char>(text.back())))
        text.pop_back();
    const std::lock_guard lock(messages_lock);
    if (!text.empty() && messages.size() < 1000)
        messages.push_back(std::move(text));
}

extern "C" void keep_alsa_message(const char* file, int line, const char* function, int, const char* format,
                                  ...) {
    char text[500];
    va_list values;
    va_start(values, format);
    std::vsnprintf(text, sizeof text, format, values);
    va_end(values);
    keep_message(fmt::format("ALSA {}:{} {}: {}", file, line, function, text));
}

extern "C" void keep_jack_message(const char* text) {
    keep_message(fmt::format("JACK {}", text));
}

/// A function of a library that this program has loaded, or null where there is none.
template <class Function>
Function loaded(const char* name) {
    return reinterpret_cast<Function>(dlsym(RTLD_DEFAULT, name));
}

} // namespace

void keep_drivers_quiet() {
    using AlsaHandler = void (*)(const char*, int, const char*, int, const char*, ...);
    using JackHandler = void (*)(const char*);
    if (const auto set = loaded<int (*)(AlsaHandler)>("snd_lib_error_set_handler"))
        set(keep_alsa_message);
    for (const char* name : {"jack_set_error_function", "jack_set_info_function"})
        if (const auto set = loaded<void (*)(JackHandler)>(name))
            set(keep_jack_message);
    if (const auto set = loaded<int (*)(const char*)>("PaJack_SetClientName"))
        set("ebbmark");
}

std::vector<std::string> driver_messages() {
    const std::lock_guard lock(messages_lock);
    return messages;
}

} // namespace ebbmark
