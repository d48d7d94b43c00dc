#pragma once
// libmosquitto, loaded when a broker is configured and not before: it brings OpenSSL along, which a daemon without a broker
// has no use for. Only what is called stands here.
#include <mosquitto.h>

namespace tubgrove {

struct MosquittoLibrary {
    decltype(&::mosquitto_lib_init) lib_init;
    decltype(&::mosquitto_new) create;
    decltype(&::mosquitto_destroy) destroy;
    decltype(&::mosquitto_threaded_set) threaded_set;
    decltype(&::mosquitto_username_pw_set) username_pw_set;
    decltype(&::mosquitto_tls_set) tls_set;
    decltype(&::mosquitto_connect) connect;
    decltype(&::mosquitto_disconnect) disconnect;
    decltype(&::mosquitto_subscribe) subscribe;
    decltype(&::mosquitto_publish) publish;
    decltype(&::mosquitto_socket) socket;
    decltype(&::mosquitto_loop_read) loop_read;
    decltype(&::mosquitto_loop_write) loop_write;
    decltype(&::mosquitto_loop_misc) loop_misc;
    decltype(&::mosquitto_want_write) want_write;
    decltype(&::mosquitto_connect_callback_set) connect_callback_set;
    decltype(&::mosquitto_subscribe_callback_set) subscribe_callback_set;
    decltype(&::mosquitto_publish_callback_set) publish_callback_set;
    decltype(&::mosquitto_message_callback_set) message_callback_set;
    decltype(&::mosquitto_strerror) strerror;
    decltype(&::mosquitto_connack_string) connack_string;
};

// The library, loaded once and kept. Throws std::runtime_error that says which package is missing.
const MosquittoLibrary& mosquitto_library();

}  // namespace tubgrove
