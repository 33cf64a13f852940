/** `CMakeLists.txt`: one command builds for this machine, one option more for a chip. */
export function renderCmake(prefix: string, sources: readonly string[]): string {
  const runtime = sources.filter((path) => /^runtime\/src\/.*\.c$/.test(path)).map((path) => `  ${path}`);
  return `# Build:  cmake -B build && cmake --build build
# For a chip:  cmake -B build-rp2040 -DPORT=rp2040 && cmake --build build-rp2040   (needs arm-none-eabi-gcc)
cmake_minimum_required(VERSION 3.16)

set(PORT posix CACHE STRING "where the board runs: posix, rp2040 or microbit")
set_property(CACHE PORT PROPERTY STRINGS posix rp2040 microbit)
if(NOT PORT MATCHES "^(posix|rp2040|microbit)$")
  message(FATAL_ERROR "PORT is posix, rp2040 or microbit, not \${PORT}")
endif()

set(CONNECTIONS 2 CACHE STRING "clients at once, 1 to 8")

if(NOT PORT STREQUAL posix)
  set(CMAKE_SYSTEM_NAME Generic)
  set(CMAKE_SYSTEM_PROCESSOR arm)
  set(CMAKE_C_COMPILER arm-none-eabi-gcc CACHE FILEPATH "")
  set(CMAKE_TRY_COMPILE_TARGET_TYPE STATIC_LIBRARY)
endif()
if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE MinSizeRel CACHE STRING "")
endif()

project(${prefix} C)

set(RUNTIME
${runtime.join('\n')}
)

if(PORT STREQUAL posix)
  set(MACHINE ports/posix/machine.c ports/posix/stream.c ports/posix/lockstep.c)
else()
  set(MACHINE ports/\${PORT}/machine.c ports/arm/startup.c ports/arm/memory.c)
  if(PORT STREQUAL rp2040)
    list(APPEND MACHINE ports/rp2040/boot2.c)
  endif()
  set_source_files_properties(ports/arm/memory.c PROPERTIES COMPILE_OPTIONS "-fno-tree-loop-distribute-patterns;-fno-builtin")
endif()

add_executable(${prefix} app.c ${prefix}.c ${prefix}_table.c \${RUNTIME} \${MACHINE})
set_target_properties(${prefix} PROPERTIES C_STANDARD 99 C_STANDARD_REQUIRED ON C_EXTENSIONS OFF)
target_include_directories(${prefix} PRIVATE . runtime/include runtime/src ports/\${PORT})
target_compile_definitions(${prefix} PRIVATE GW_CONNECTIONS=\${CONNECTIONS})
target_compile_options(${prefix} PRIVATE -Wall -Wextra -ffunction-sections -fdata-sections)

if(PORT STREQUAL posix)
  target_link_options(${prefix} PRIVATE "LINKER:--gc-sections")
else()
  target_include_directories(${prefix} PRIVATE ports/arm)
  target_compile_options(${prefix} PRIVATE -mcpu=cortex-m0plus -mthumb -ffreestanding)
  target_link_options(${prefix} PRIVATE -mcpu=cortex-m0plus -mthumb -nostdlib -nostartfiles
    "-T\${CMAKE_CURRENT_SOURCE_DIR}/ports/\${PORT}/image.ld" LINKER:--gc-sections LINKER:-Map=${prefix}.map)
  target_link_libraries(${prefix} PRIVATE gcc)
  set_target_properties(${prefix} PROPERTIES SUFFIX .elf LINK_DEPENDS "\${CMAKE_CURRENT_SOURCE_DIR}/ports/\${PORT}/image.ld")
  if(PORT STREQUAL microbit)
    target_compile_options(${prefix} PRIVATE -mcpu=cortex-m0)
    target_compile_definitions(${prefix} PRIVATE ${prefix.toUpperCase()}_CONSOLE=0 GW_EVENT_OCTETS=0)
  endif()
  find_program(OBJCOPY arm-none-eabi-objcopy)
  find_program(SIZE arm-none-eabi-size)
  add_custom_command(TARGET ${prefix} POST_BUILD
    COMMAND \${OBJCOPY} -O binary $<TARGET_FILE:${prefix}> ${prefix}.bin
    COMMAND \${SIZE} $<TARGET_FILE:${prefix}>)
endif()
`;
}
