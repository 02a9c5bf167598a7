// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/sound_system.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/reports/device_reports.hpp"
#include "proof/text/guarded.hpp"
#include "system/quiet_drivers.hpp"

#include <fmt/ostream.h>

namespace ebbmark {

void declare_devices(Options& options) {
    add_flag(options, "verbose", "also what the sound drivers said");
    declare_output(options);
}

int run_devices(const Arguments& arguments, Console& console) {
    const SoundSystem system;
    DevicesReport report;
    for (const SoundDeviceInfo& device : system.devices())
        report.devices.push_back({device.number, device.host, device.name, device.inputs, device.outputs,
                                  device.rate_hz, device.default_input, device.default_output});
    if (arguments.flag("verbose"))
        report.messages = driver_messages();
    if (!report.devices.empty()) {
        emit_report(arguments, console, report);
        return 0;
    }
    for (const std::string& message : report.messages)
        fmt::print(console.err, "{}\n", plain_text(message));
    throw Error(ErrorKind::device, no_devices_text(system.hosts()));
}

} // namespace ebbmark
